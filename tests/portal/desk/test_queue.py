"""The queue's page."""

import pytest
from django.urls import reverse

from portal.intake.states import State


@pytest.fixture
def page(desk_client):
    def get(**query):
        return desk_client.get(reverse("queue"), query)

    return get


def test_a_coach_sees_who_waits_and_can_begin(page, measured_clip):
    answer = page()
    assert answer.status_code == 200
    body = answer.content.decode()
    assert "Ida Sandvall" in body
    assert reverse("desk_claim", args=[measured_clip.submission_id]) in body


def test_who_reviews_is_named_and_nothing_begins_beside_them(page, measured_clip, other_coach):
    measured_clip.submission.move(State.IN_REVIEW, reviewer=other_coach)
    body = page().content.decode()
    assert "Tibor Quist is reviewing since" in body
    assert reverse("desk_claim", args=[measured_clip.submission_id]) not in body


def test_lists_and_camps_are_plain_links(page, measured_clip, submission, camp, other_camp, coach):
    other_camp.coaches.add(coach)
    submission(State.FILM_AGAIN, film_again_words="Step back three steps.")
    assert "Step back three steps." in page(list="film_again").content.decode()
    body = page(camp=other_camp.pk).content.decode()
    assert "Ida Sandvall" not in body
    assert "Nobody is waiting" in body
    assert f"?list=waiting&amp;camp={camp.pk}" in body


def test_another_coach_sees_nothing_of_it(sign_in, other_coach, measured_clip):
    assert b"Sandvall" not in sign_in(other_coach).get(reverse("queue")).content


@pytest.mark.parametrize("who", ["guardian", "player_user"])
def test_families_have_no_queue(sign_in, request, who):
    assert sign_in(request.getfixturevalue(who)).get(reverse("queue")).status_code == 404


def test_strangers_sign_in_first(stranger, db):
    assert stranger.get(reverse("queue")).status_code == 302


def test_a_wrong_camp_or_list_counts_as_no_choice(page, measured_clip):
    assert b"Sandvall" in page(camp="x", list="y", page="z").content
