"""The player's ticks for the days of the last week."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from portal.evaluations.models import Evaluation, PracticeDay
from portal.evaluations.practice import Day, Week


def given_days_ago(evaluation, days):
    Evaluation.objects.filter(pk=evaluation.pk).update(published_at=timezone.now() - timedelta(days=days))


@pytest.fixture
def url(published):
    # Given long enough ago for a whole week of ticks.
    given_days_ago(published, 30)
    return f"/evaluations/{published.pk}/practice/"


def form(drill="chalk", back=0, **more):
    return {"drill": drill, "day": (timezone.localdate() - timedelta(days=back)).isoformat(), **more}


@pytest.mark.parametrize("who", ["player_user", "guardian"])
def test_the_player_or_a_guardian_ticks_a_day(request, sign_in, url, published, who):
    client = sign_in(request.getfixturevalue(who))
    response = client.post(url, form(done="on"))
    assert response.url == f"/evaluations/{published.pk}/#chalk"
    assert published.practice_days.get().day == timezone.localdate()
    week = client.get(f"/evaluations/{published.pk}/").context["weeks"]["chalk"].days
    assert [day.is_done for day in week] == [False] * 6 + [True]


def test_a_tick_twice_is_one_and_can_be_taken_back(sign_in, player_user, url):
    client = sign_in(player_user)
    client.post(url, form(done="on"))
    client.post(url, form(done="on"))
    assert PracticeDay.objects.count() == 1
    client.post(url, form())
    assert PracticeDay.objects.count() == 0


def test_no_day_before_the_drill_was_given_can_be_ticked(sign_in, player_user, url, published):
    given_days_ago(published, 1)
    client = sign_in(player_user)
    week = client.get(f"/evaluations/{published.pk}/").context["weeks"]["chalk"].days
    assert [day.day for day in week] == [timezone.localdate() - timedelta(days=back) for back in (1, 0)]
    assert "from the day the drill was given" in client.post(url, form(back=2, done="on"), follow=True).content.decode()
    client.post(url, form(back=1, done="on"))
    assert published.practice_days.count() == 1


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (form(drill="other", done="on"), "This drill is not in the plan."),
        (form(back=7, done="on"), "Only days of the last week can be ticked, from the day the drill was given."),
        (form(back=-1, done="on"), "Only days of the last week can be ticked, from the day the drill was given."),
        ({"drill": "chalk", "day": "soon", "done": "on"}, "Enter a valid date."),
    ],
)
def test_what_cannot_be_ticked_is_said(sign_in, player_user, url, sent, said):
    response = sign_in(player_user).post(url, sent, follow=True)
    assert said in response.content.decode()
    assert PracticeDay.objects.count() == 0


def test_the_coach_reads_but_does_not_tick(sign_in, coach, url, published):
    client = sign_in(coach)
    assert client.post(url, form(done="on")).status_code == 404
    assert "I did it on" not in client.get(f"/evaluations/{published.pk}/").content.decode()


def test_other_families_get_404(sign_in, other_guardian, url):
    assert sign_in(other_guardian).post(url, form(done="on")).status_code == 404


def test_strangers_sign_in_first(stranger, url):
    assert stranger.post(url, form(done="on")).url.startswith("/accounts/login/")


def test_who_comes_to_it_from_the_sign_in_is_led_to_the_page(sign_in, player_user, other_guardian, url, published):
    assert sign_in(player_user).get(url).url == f"/evaluations/{published.pk}/"
    assert sign_in(other_guardian).get(url).status_code == 404
    assert sign_in(player_user).put(url).status_code == 405


@pytest.mark.parametrize(
    ("done", "asked", "words"),
    [
        (0, 3, "0 of 3 days this week"),
        (2, 3, "2 of 3 days this week"),
        (3, 3, "3 of 3 days this week: done!"),
        (5, 3, "5 days this week, more than the 3 of your plan"),
        (1, 1, "1 of 1 day this week: done!"),
        (1, None, "1 day this week"),
        (2, None, "2 days this week"),
    ],
)
def test_the_week_is_told_against_the_plan(done, asked, words):
    days = [Day(timezone.localdate() - timedelta(days=back), back < done, back == 0) for back in range(7)]
    assert Week(days, asked).words == words


def test_a_script_gets_the_days_of_that_drill_alone(sign_in, player_user, url):
    answer = sign_in(player_user).post(url, form(done="on"), headers={"X-Part": "ticks"})
    html = " ".join(answer.content.decode().split())
    assert answer.status_code == 200
    assert "<html" not in html
    assert "1 of 3 days this week" in html
    assert html.count('aria-pressed="true"') == 1
