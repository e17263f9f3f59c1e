"""Where the frames lie comes with the page, unless that is much or not to be had."""

from __future__ import annotations

import json

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from portal.desk.tables import MOST_BYTES, NAMES, tables

pytestmark = pytest.mark.django_db


@pytest.fixture
def measurement(measured_clip):
    return measured_clip.measurement


def written(measurement, name):
    with default_storage.open(f"{measurement.products}/{name}") as file:
        return json.load(file)


def put(measurement, name, text):
    default_storage.delete(f"{measurement.products}/{name}")
    default_storage.save(f"{measurement.products}/{name}", ContentFile(text))


def test_they_are_what_the_files_hold(measurement):
    assert tables(measurement) == {what: written(measurement, name) for what, name in NAMES.items()}


def test_of_a_long_clip_the_desk_asks_for_them(measurement):
    long = {**written(measurement, "review.samples.json"), "more": "x" * MOST_BYTES}
    put(measurement, "review.samples.json", json.dumps(long).encode())
    assert tables(measurement) is None


@pytest.mark.parametrize("text", [None, b"{", b"\xff\xfe"], ids=["gone", "cut off", "no text"])
def test_what_cannot_be_read_is_left_to_the_desk_to_ask_for(measurement, text):
    default_storage.delete(f"{measurement.products}/stills.json")
    if text is not None:
        put(measurement, "stills.json", text)
    assert tables(measurement) is None
