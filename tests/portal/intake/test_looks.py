"""Who looked, in words for the family."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from portal.evaluations import access_log
from portal.evaluations.models import What
from portal.intake import looks
from portal.intake.states import State

EVENING = datetime(2026, 11, 12, 18, 40, tzinfo=UTC)


@pytest.fixture
def sent(submission):
    return submission(State.READY)


@pytest.fixture
def look(sent):
    def at(user, what, minutes=0.0, submission=sent):
        access_log.note(user, sent.player, what, submission, at=EVENING + timedelta(minutes=minutes))

    return at


def test_a_look_is_told_in_words(look, coach, sent, monkeypatch):
    monkeypatch.setattr(looks.timezone, "localdate", lambda: EVENING.date())
    look(coach, What.FILM)
    told = looks.seen_by(sent)[0]
    words = f"{told.seen_as}, {told.who}, {told.words}, {told.when}"
    assert words == "a coach of the camp, Maren Oduya, looked at the film, November 12, 6:40 PM"


def test_a_day_of_one_person_is_one_line(look, coach, sent, monkeypatch):
    monkeypatch.setattr(looks.timezone, "localdate", lambda: EVENING.date())
    look(coach, What.DRAFT)
    look(coach, What.FILM, 1)
    look(coach, What.NUMBERS, 72)
    told = looks.seen_by(sent)
    assert [(line.words, line.when) for line in told] == [
        ("looked at the film, the numbers and the draft of the evaluation", "November 12, 6:40 PM to 7:52 PM")
    ]


def test_the_newest_comes_first_and_another_year_is_named(look, coach, owner, sent, monkeypatch):
    monkeypatch.setattr(looks.timezone, "localdate", lambda: EVENING.date().replace(year=2027))
    look(coach, What.FILM)
    look(owner, What.FILM, 24 * 60)
    look(coach, What.FILM, 48 * 60)
    assert [(line.who, line.when) for line in looks.seen_by(sent)] == [
        ("Maren Oduya", "November 14, 2026, 6:40 PM"),
        ("Oda Verne", "November 13, 2026, 6:40 PM"),
        ("Maren Oduya", "November 12, 2026, 6:40 PM"),
    ]


def test_a_look_counts_for_the_day_where_the_site_is(look, coach, sent, settings):
    settings.TIME_ZONE = "Europe/Stockholm"
    from django.utils import timezone

    with timezone.override("Europe/Stockholm"):
        look(coach, What.FILM, 5 * 60)
        assert "November 13" in looks.seen_by(sent)[0].when


def test_the_familys_own_looks_are_shown_to_nobody(look, guardian, player_user, sent):
    look(guardian, What.EVALUATION)
    look(player_user, What.EVALUATION)
    assert looks.seen_by(sent) == looks.seen_of(sent.player) == []


class TestPages:
    def test_the_submissions_page_tells_it(self, look, sign_in, guardian, coach, sent):
        look(coach, What.FILM)
        page = sign_in(guardian).get(reverse("submission", args=[sent.pk]))
        assert "Maren Oduya</b>, a coach of the camp, looked at the film" in page.text

    def test_the_players_page_tells_of_all_that_was_looked_at(
        self, look, sign_in, guardian, coach, owner, player, sent
    ):
        look(coach, What.FILM)
        look(owner, What.PLAYER, submission=None)
        page = sign_in(guardian).get(reverse("player", args=[player.pk]))
        assert "Maren Oduya</b>, a coach of the camp, looked at the film" in page.text
        assert "Oda Verne</b>, the owner of this site, looked at the player’s page" in page.text

    def test_coaches_do_not_read_there_who_else_coaches_the_player(self, look, sign_in, coach, owner, player, sent):
        look(owner, What.FILM)
        assert "Oda Verne" not in sign_in(coach).get(reverse("player", args=[player.pk])).text

    def test_days_long_past_are_folded_away(self, look, sign_in, guardian, coach, sent):
        for day in range(5):
            look(coach, What.FILM, day * 24 * 60)
        text = sign_in(guardian).get(reverse("submission", args=[sent.pk])).text
        assert text.index("November 14") < text.index("Earlier looks") < text.index("November 13")
