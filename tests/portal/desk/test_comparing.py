"""Side by side: what a coach may put beside a swing, and what the readings say of each other."""

from __future__ import annotations

import copy
from datetime import timedelta

import pytest
from django.urls import reverse

from portal.evaluations.models import AccessLogEntry
from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring.models import Measurement
from tests.portal.conftest import make_camp, make_measured_clip, make_player, make_submission, make_user


@pytest.fixture
def ask(review, desk_client):
    def get(which="", client=None):
        return (client or desk_client).get(reverse("desk_compare", args=[review.submission_id]), {"with": which})

    return get


@pytest.fixture
def earlier(review, camp, products):
    """A clip that the player sent six weeks ago, to the same camp."""
    clip = make_measured_clip(make_submission(review.submission.player, camp, State.PUBLISHED), products)
    Clip.objects.filter(pk=clip.pk).update(created_at=clip.created_at - timedelta(days=42))
    return clip


def second_swing(clip):
    """The clip with its swing once more, half a second later, and its knees ten degrees more bent."""
    measurement = Measurement.objects.get(clip=clip)
    swing = copy.deepcopy(measurement.result["swings"][0])
    swing["index"] = 1
    for reading in swing["readings"]:
        if reading["value"] is not None and "knee" in reading["checkpoint"]:
            reading["value"] += 10
            reading["interval"] = [end + 10 for end in reading["interval"]]
    measurement.result["swings"].append(swing)
    Measurement.objects.filter(clip=clip).update(result=measurement.result)


def alter(clip, **film):
    measurement = Measurement.objects.get(clip=clip)
    measurement.result["film"].update(film)
    Measurement.objects.filter(clip=clip).update(result=measurement.result)


def test_swings_of_this_clip_stand_before_earlier_clips(ask, review, earlier):
    second_swing(review.clip)
    choices = ask().json()["choices"]
    assert [one["value"] for one in choices] == [f"{review.clip_id}:1", f"{earlier.pk}:0"]
    assert choices[0]["words"] == "this clip, swing 2"
    assert choices[1]["words"].endswith(", swing 1")


def test_both_films_and_both_readings_come(ask, review, earlier):
    told = ask(f"{earlier.pk}:0").json()
    assert [told[side]["clip"]["id"] for side in ("this", "other")] == [str(review.clip_id), str(earlier.pk)]
    assert told["this"]["instants"]["contact"] is not None
    assert "no change we can see" in told["html"]  # the same readings on both sides
    assert "changed:" not in told["html"]


def test_a_change_within_one_clip_is_told(ask, review):
    second_swing(review.clip)
    assert "changed: " in ask(f"{review.clip_id}:1").json()["html"]


@pytest.mark.parametrize("about", [{"hand": "left"}])
def test_another_hand_is_not_compared_and_the_reason_stands_there(ask, earlier, about):
    alter(earlier, **about)
    html = ask(f"{earlier.pk}:0").json()["html"]
    assert "from the right side, the other from the left" in html
    assert "no change we can see" not in html


def test_another_method_is_not_compared(ask, earlier):
    measurement = Measurement.objects.get(clip=earlier)
    measurement.result["read_with"]["method"] -= 1
    Measurement.objects.filter(pk=measurement.pk).update(result=measurement.result)
    assert "read by different methods" in ask(f"{earlier.pk}:0").json()["html"]


def test_what_a_coach_may_not_see_is_not_there_to_compare(ask, review, products):
    """The same player sent a clip to a camp of another coach; another player sent one to this coach."""
    stranger = make_user("nils@example.org", "Nils Aker", is_coach=True)
    elsewhere = make_camp(stranger)
    elsewhere.players.add(review.submission.player)
    theirs = make_measured_clip(make_submission(review.submission.player, elsewhere, State.READY), products)
    camp = review.submission.camp
    sibling = make_player(camp, review.submission.player.guardians.first(), first_name="Tom")
    other_child = make_measured_clip(make_submission(sibling, camp, State.READY), products)
    assert ask().json()["choices"] == []
    assert ask(f"{theirs.pk}:0").status_code == 404
    assert ask(f"{other_child.pk}:0").status_code == 404


@pytest.mark.parametrize("which", ["nonsense", "nonsense:0", "{pk}:7", "{pk}:", "{pk}:x"])
def test_what_is_not_a_swing_is_not_there(ask, earlier, which):
    assert ask(which.format(pk=earlier.pk)).status_code == 404


def test_the_look_at_the_other_clip_is_noted(ask, coach, earlier):
    ask()
    assert not AccessLogEntry.objects.filter(submission=earlier.submission).exists()  # a line of a list
    ask(f"{earlier.pk}:0")
    assert [entry.what for entry in AccessLogEntry.objects.filter(submission=earlier.submission, user=coach)] == [
        "numbers"
    ]


def test_families_and_coaches_of_other_camps_find_nothing(ask, sign_in, guardian, other_coach):
    assert ask(client=sign_in(guardian)).status_code == 404
    assert ask(client=sign_in(other_coach)).status_code == 404
