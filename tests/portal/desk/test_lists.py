"""What stands in which list of the queue, and in which order."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from portal.desk import lists
from portal.intake.models import Submission
from portal.intake.states import State


def listed(name, coach, sort=""):
    return list(lists.in_order(lists.stands_in(Submission.objects.all(), name, coach), name, sort))


def test_what_another_coach_holds_does_not_wait_for_me(submission, coach, other_coach):
    free, unreadable = submission(State.READY), submission(State.UNREADABLE)
    mine = submission(State.IN_REVIEW, reviewer=coach)
    theirs = submission(State.IN_REVIEW, reviewer=other_coach)
    left = submission(State.IN_REVIEW, reviewer=None)  # its coach has left the site
    assert set(listed("waiting", coach)) == {free, unreadable, mine, left}
    assert listed("mine", coach) == [mine]
    assert set(listed("free", coach)) == {free, unreadable, left}
    assert listed("others", coach) == [theirs]
    counts = lists.counts(Submission.objects.all(), coach)
    assert (counts["waiting"], counts["mine"], counts["free"], counts["others"]) == (4, 1, 3, 1)
    assert lists.counts(Submission.objects.all(), other_coach)["mine"] == 1


@pytest.mark.parametrize("state", [state for state in State if state != State.WITHDRAWN])
def test_every_submission_stands_in_exactly_one_list_beside_the_whole(submission, coach, state):
    submission(state, reviewer=coach if state == State.IN_REVIEW else None)
    counts = lists.counts(Submission.objects.all(), coach)
    assert sum(number for name, number in counts.items() if name != "waiting") == 1


def test_who_waits_longest_stands_on_top(submission, coach):
    late = submission(State.READY, promised_by=date(2026, 11, 30))
    early = submission(State.READY, promised_by=date(2026, 11, 20))
    nameless = submission(State.READY, promised_by=None)
    submission(State.MEASURING)
    assert listed("waiting", coach) == [early, late, nameless]
    assert listed("waiting", coach, "-due") == [late, early, nameless]


def test_the_list_is_sorted_by_any_head_either_way(submission, coach, camp, guardian):
    from tests.portal.conftest import make_player, make_submission

    now = timezone.now()
    names = ("Runa", "asta", "Miro", "Åke")
    made = {}
    for days, name in enumerate(names):
        player = make_player(camp, guardian, first_name=name)
        made[name] = make_submission(player, camp, State.READY, received_at=now - timedelta(days=days))
    assert listed("waiting", coach, "since") == [made["Åke"], made["Miro"], made["asta"], made["Runa"]]
    assert listed("waiting", coach, "-since") == [made["Runa"], made["asta"], made["Miro"], made["Åke"]]
    assert listed("waiting", coach, "player") == [made["Åke"], made["asta"], made["Miro"], made["Runa"]]
    assert listed("waiting", coach, "-player") == [made["Runa"], made["Miro"], made["asta"], made["Åke"]]


def test_what_is_published_stands_newest_first(submission, coach):
    now = timezone.now()
    old = submission(State.PUBLISHED, state_since=now - timedelta(days=3))
    new = submission(State.PUBLISHED, state_since=now)
    assert listed("published", coach) == [new, old]


def test_it_is_sorted_by_coach_as_they_are_called_and_what_nobody_holds_comes_last(submission, coach, other_coach, db):
    from tests.portal.conftest import make_user

    nameless = make_user("nora@example.org", "", is_coach=True)
    twin = make_user("tibor.two@example.org", other_coach.name, is_coach=True)  # of the same name: not mixed up
    held = {}
    for who in (twin, other_coach, coach, nameless, other_coach):
        held.setdefault(who, []).append(submission(State.IN_REVIEW, reviewer=who, promised_by=date(2026, 12, 1)))
    late = submission(State.IN_REVIEW, reviewer=twin, promised_by=date(2026, 11, 1))
    free = submission(State.READY)
    everything = lists.in_order(Submission.objects.all(), "waiting", "coach")
    by = [one.reviewer for one in everything]
    tibors = sorted((other_coach, twin), key=lambda one: one.pk)
    expected = [coach] + [one for tibor in tibors for one in [tibor] * 2] + [nameless, None]
    assert by == expected
    assert [one for one in everything if one.reviewer == twin] == [late, held[twin][0]]
    down = list(lists.in_order(Submission.objects.all(), "waiting", "-coach"))
    assert [one.reviewer for one in down] == [nameless, *reversed(expected[1:-2]), coach, None]
    assert down[-1] == free
