"""The shipped drills: whole, plain, safe, and enough of them for every checkpoint of the book."""

import re

import pytest
from django.core.management import call_command

from portal.drills.library import load, shipped
from portal.drills.models import Drill
from portal.drills.set_up import completed
from portal.measuring.door import CHECKPOINTS

ENTRIES = list(shipped())
IDS = [entry.id for entry in CHECKPOINTS]
each = pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["slug"])


def test_there_are_enough_and_no_slug_stands_twice():
    slugs = [entry["slug"] for entry in ENTRIES]
    assert len(set(slugs)) == len(slugs) >= 14


def test_every_checkpoint_of_the_book_has_a_drill():
    trained = {checkpoint for entry in ENTRIES for checkpoint in entry["trains"]}
    assert set(IDS) - trained == set()


@each
def test_a_drill_trains_what_the_book_knows(entry):
    assert entry["trains"]
    assert set(entry["trains"]) <= set(IDS)


@each
def test_a_drill_is_whole(entry):
    assert 3 <= len(entry["steps"]) <= 5
    for field in ("title", "in_short", "goal", "watch_for", "for_whom"):
        assert entry[field].strip(), field
    assert entry["set_up"] == completed(entry["set_up"])


@each
def test_steps_are_short_sentences_for_a_ten_year_old(entry):
    for sentence in re.split(r"(?<=[.!?:]) ", " ".join(entry["steps"])):
        assert len(sentence.split()) <= 20, sentence


@pytest.mark.django_db
def test_loading_twice_changes_nothing():
    assert load() == (len(ENTRIES), 0)
    assert load() == (0, len(ENTRIES))
    assert Drill.objects.count() == len(ENTRIES)
    for drill in Drill.objects.all():
        drill.full_clean()


def test_a_coachs_own_drill_is_never_overwritten(coach):
    Drill.objects.create(slug="thin-ice", title="My ice", author=coach, in_short="Mine")
    call_command("load_drills")
    assert Drill.objects.get(slug="thin-ice").in_short == "Mine"
