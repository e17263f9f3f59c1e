"""Results read before the calls were named in range and out of range are put into the new words."""

from importlib import import_module
from types import SimpleNamespace

import pytest

from portal.measuring.models import Measurement

carried = import_module("portal.measuring.migrations.0005_calls_by_range")


class Apps:
    @staticmethod
    def get_model(app: str, model: str) -> type[Measurement]:
        assert (app, model) == ("measuring", "Measurement")
        return Measurement


def calls(measurement):
    measurement.refresh_from_db()
    return [reading["call"] for swing in measurement.result["swings"] for reading in swing["readings"]]


@pytest.mark.django_db
def test_stored_calls_get_their_new_names_and_back(waiting_clip):
    old = ["inside", "outside", "too close to call", "not readable"]
    measurement = waiting_clip.measurement
    measurement.result = {"swings": [{"readings": [{"call": call} for call in old]}]}
    measurement.save()
    carried.rename(Apps, SimpleNamespace())
    assert calls(measurement) == ["in range", "out of range", "too close to call", "not readable"]
    carried.back(Apps, SimpleNamespace())
    assert calls(measurement) == old


@pytest.mark.django_db
def test_clips_without_a_result_are_left_alone(waiting_clip):
    measurement = waiting_clip.measurement
    carried.rename(Apps, SimpleNamespace())
    measurement.refresh_from_db()
    assert measurement.result is None
