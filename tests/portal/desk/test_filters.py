"""What the address of the queue asks for."""

from datetime import date, timedelta

import pytest
from django.http import QueryDict
from django.utils import timezone

from portal.desk import filters
from portal.desk.filters import FilterForm
from portal.intake.models import Submission
from portal.intake.states import State
from tests.portal.conftest import make_player, make_submission

TODAY = date(2026, 11, 25)


def said(query, camps=(), coaches=()):
    return FilterForm(QueryDict(query), camps=camps, coaches=coaches).said()


def names(query, camps=(), coaches=()):
    kept = filters.narrow(Submission.objects.all(), said(query, camps, coaches), TODAY)
    return sorted(submission.player.first_name for submission in kept)


@pytest.fixture
def some(camp, other_camp, guardian, coach, other_coach):
    """Three players that differ in everything."""
    now = timezone.now()
    for first, last, place, state, reviewer, due, days in (
        ("Runa", "Vane", camp, State.READY, None, date(2026, 11, 20), 10),
        ("Asta", "Núñez", camp, State.IN_REVIEW, coach, date(2026, 11, 25), 4),
        ("Miro", "Vanter", other_camp, State.IN_REVIEW, other_coach, None, 0),
    ):
        player = make_player(place, guardian, first_name=first, last_name=last)
        make_submission(
            player, place, state, reviewer=reviewer, promised_by=due, received_at=now - timedelta(days=days)
        )


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("", ["Asta", "Miro", "Runa"]),
        ("q=van", ["Miro", "Runa"]),
        ("q=VANE+run", ["Runa"]),
        ("q=++asta+", ["Asta"]),
        ("q=nunez", ["Asta"]),
        ("q=N%C3%BA%C3%B1+%C3%A5sta", ["Asta"]),
        ("q=%25", []),
        ("state=in_review", ["Asta", "Miro"]),
        ("due=late", ["Runa"]),
        ("due=today", ["Asta"]),
        ("due=week", ["Asta"]),
        ("due=none", ["Miro"]),
        ("since=3", ["Asta", "Runa"]),
        ("since=7", ["Runa"]),
        ("q=van&since=3&due=late", ["Runa"]),
    ],
)
def test_filters_let_through_what_fits_all_of_them(some, query, found):
    assert names(query) == found


def test_camp_and_coach_filter_where_there_is_a_choice(some, camp, other_camp, coach, other_coach):
    chosen = {"camps": [camp, other_camp], "coaches": [coach, other_coach]}
    assert names(f"camp={other_camp.pk}", **chosen) == ["Miro"]
    assert names(f"coach={coach.pk}", **chosen) == ["Asta"]
    assert "camp" not in said(f"camp={camp.pk}", camps=[camp])


@pytest.mark.parametrize(
    "query", ["list=x&camp=y&due=z&since=-1&sort=elbow&state=gone", "since=99999999999", "camp=1%27", "q=" + "a" * 500]
)
def test_what_makes_no_sense_counts_as_not_said(some, query):
    assert filters.narrowed(said(query)) == []
    assert names(query) == ["Asta", "Miro", "Runa"]


def test_the_address_holds_what_is_chosen_and_nothing_else():
    chosen = said("list=free&q=van&due=late&sort=&since=")
    assert filters.address(chosen) == "?list=free&q=van&due=late"
    assert filters.address(chosen, list="mine", q="") == "?list=mine&due=late"
