"""The status page: where a submission stands, true and in plain words."""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.intake import progress
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from tests.portal.conftest import make_clip, make_measured_clip, make_player, make_submission, make_swingless_clip


def page_of(client, submission):
    return client.get(reverse("submission", args=[submission.pk]))


def progress_of(client, submission):
    return client.get(reverse("submission_progress", args=[submission.pk]))


@pytest.fixture
def family(sign_in, guardian):
    return sign_in(guardian)


@pytest.mark.parametrize(
    ("state", "headline"),
    [
        (State.UPLOADING, "Ida’s clip is not here yet"),
        (State.RECEIVED, "We have Ida’s clip"),
        (State.MEASURING, "Ida’s swing is being measured"),
        (State.READY, "Coach Maren will look at it by"),
        (State.IN_REVIEW, "Coach Maren will look at it by"),
        (State.PUBLISHED, "Ida’s evaluation is ready"),
        (State.FILM_AGAIN, "Please film Ida again"),
        (State.UNREADABLE, "This clip could not be measured"),
        (State.WITHDRAWN, "Withdrawn and deleted"),
    ],
)
def test_every_state_has_its_plain_words(family, submission, state, headline):
    page = page_of(family, submission(state))
    assert page.status_code == 200
    assert headline in page.text


@pytest.mark.parametrize(("state", "words"), [(State.MEASURING, "will review it"), (State.PUBLISHED, "has reviewed it")])
def test_the_coachs_step_is_told_in_its_time(submission, state, words):
    assert any(str(step["words"]).endswith(words) for step in progress.steps(submission(state)))


def test_no_state_is_forgotten_by_the_way(submission):
    for state in State:
        steps = progress.steps(submission(state))
        assert sum(step["is"] in ("now", "stop") for step in steps) == (0 if state == State.PUBLISHED else 1)


class TestWhileItIsMeasured:
    @pytest.fixture
    def running(self, submission):
        sent = submission(State.MEASURING)
        clip = make_clip(sent)
        Measurement.objects.create(clip=clip, stage=Stage.WATCHING, done=30, total=120)
        return sent

    def test_the_bar_shows_the_workers_own_figures(self, family, running):
        page = page_of(family, running)
        assert 'value="25"' in page.text
        assert "watching the swing, frame by frame" in page.text

    def test_the_page_asks_again_while_something_goes_on(self, family, running):
        progress = progress_of(family, running)
        assert 'hx-trigger="every 2s"' in progress.text
        assert "HX-Refresh" not in progress.headers

    def test_it_stops_asking_when_all_is_done(self, family, running):
        running.move(State.READY)
        progress = progress_of(family, running)
        assert "hx-trigger" not in progress.text
        assert progress.headers["HX-Refresh"] == "true"

    def test_nobody_keeps_a_copy_of_what_moves(self, family, running):
        assert "no-cache" in progress_of(family, running).headers["Cache-Control"]

    def test_the_place_in_the_queue_counts_the_clips_before(self, family, running, other_player, other_camp):
        waiting = make_submission(other_player, other_camp, State.RECEIVED)
        clip = make_clip(waiting)
        Measurement.objects.create(clip=clip, stage=Stage.WAITING)
        assert progress.steps(waiting)[1]["words"] == "Waiting to be measured, 1 clip before it"
        Measurement.objects.exclude(clip=clip).update(stage=Stage.DONE)
        assert progress.steps(waiting)[1]["words"] == "Next to be measured"


def test_players_who_wait_longer_are_counted(submission, camp, guardian):
    ours = submission(State.READY)
    other = make_submission(make_player(camp, guardian, first_name="Tom"), camp, State.READY)
    assert progress.steps(ours)[2]["words"] == "Waiting for Coach Maren, next in line"
    assert progress.steps(other)[2]["words"] == "Waiting for Coach Maren, 1 player ahead"


def test_what_was_found_and_the_film_check_are_shown(family, measured_clip):
    page = page_of(family, measured_clip.submission)
    assert "Measured: 1 swing found" in page.text
    assert "The phone moved a little" in page.text


class TestAClipAfterAGoodOne:
    """What is sent after a good clip takes nothing from it: the coach looks at the good one."""

    def test_the_good_ones_film_check_stays_when_the_next_cannot_be_measured(self, family, measured_clip):
        words = "This clip holds only a few pictures."
        later = make_clip(measured_clip.submission)
        Measurement.objects.create(clip=later, stage=Stage.FAILED, failure_words=words)
        page = page_of(family, measured_clip.submission)
        assert "Measured: 1 swing found" in page.text
        assert "The phone moved a little" in page.text
        assert page.text.count(words) == 1

    def test_a_next_one_without_a_swing_asks_nobody_to_film_again(self, family, measured_clip, products):
        make_swingless_clip(measured_clip.submission, products)
        page = page_of(family, measured_clip.submission)
        assert "Coach Maren will look at it by" in page.text
        assert "We found no swing" not in page.text
        assert page.text.count("No swing was found in this one.") == 1

    def test_swings_of_all_clips_are_counted(self, family, measured_clip, products):
        make_measured_clip(measured_clip.submission, products)
        assert "Measured: 2 swings found" in page_of(family, measured_clip.submission).text

    def test_while_the_next_is_measured_the_page_tells_of_that(self, family, measured_clip):
        sent = measured_clip.submission
        sent.move(State.RECEIVED)
        sent.move(State.MEASURING)
        Measurement.objects.create(clip=make_clip(sent), stage=Stage.WATCHING, done=30, total=120)
        assert 'value="25"' in page_of(family, sent).text


def test_where_no_clip_shows_a_swing_the_family_is_asked_for_another(family, submission, products):
    sent = submission(State.READY)
    make_swingless_clip(sent, products)
    assert "We found no swing in this clip." in page_of(family, sent).text


def test_a_clip_that_could_not_be_measured_says_why_and_what_to_do(family, submission):
    sent = submission(State.UNREADABLE)
    words = "The feet are cut off. Go two steps back."
    Measurement.objects.create(clip=make_clip(sent), stage=Stage.FAILED, failure_words=words)
    page = page_of(family, sent)
    assert words in page.text
    assert reverse("submission_clip", args=[sent.pk]) in page.text


def test_the_coachs_reason_to_film_again_is_shown_safely(family, submission):
    page = page_of(family, submission(State.FILM_AGAIN, film_again_words="<b>Closer</b> please"))
    assert "&lt;b&gt;Closer&lt;/b&gt; please" in page.text


def test_a_published_one_leads_to_the_evaluation(family, evaluation):
    page = page_of(family, evaluation.submission)
    assert reverse("evaluation", args=[evaluation.pk]) in page.text


class TestNote:
    def test_a_word_for_the_coach_is_kept(self, family, submission):
        sent = submission(State.READY)
        family.post(reverse("submission_note", args=[sent.pk]), {"note": "She hits left in games."})
        sent.refresh_from_db()
        assert sent.note == "She hits left in games."

    def test_once_the_coach_is_at_it_the_note_stays(self, family, submission):
        sent = submission(State.IN_REVIEW, note="As it was.")
        family.post(reverse("submission_note", args=[sent.pk]), {"note": "Too late."})
        sent.refresh_from_db()
        assert sent.note == "As it was."

    def test_a_novel_is_refused(self, family, submission):
        sent = submission(State.READY)
        url = reverse("submission_note", args=[sent.pk])
        assert "1000 characters at most" in family.post(url, {"note": "x" * 1001}, follow=True).text

    def test_it_is_posted_only_and_leads_back_to_its_page(self, family, submission):
        sent = submission()
        assert family.get(reverse("submission_note", args=[sent.pk])).url == reverse("submission", args=[sent.pk])
        assert family.get(reverse("submission_note", args=[uuid4()])).status_code == 404


class TestAccess:
    @pytest.mark.parametrize("persona", ["guardian", "player_user", "coach", "owner"])
    def test_family_coach_and_owner_see_it(self, persona, request, sign_in, submission):
        client = sign_in(request.getfixturevalue(persona))
        sent = submission(State.READY)
        assert page_of(client, sent).status_code == progress_of(client, sent).status_code == 200

    @pytest.mark.parametrize("persona", ["other_guardian", "other_coach"])
    def test_others_find_nothing(self, persona, request, sign_in, submission, other_player):
        client = sign_in(request.getfixturevalue(persona))
        sent = submission(State.READY)
        assert page_of(client, sent).status_code == progress_of(client, sent).status_code == 404

    def test_a_coach_gets_no_buttons_of_the_family(self, sign_in, coach, submission):
        page = page_of(sign_in(coach), submission(State.READY))
        assert "Withdraw" not in page.text
        assert "Send another clip" not in page.text

    def test_a_coach_is_led_to_the_desk_and_a_family_is_not(self, sign_in, coach, guardian, submission):
        sent = submission(State.READY)
        link = reverse("desk", args=[sent.pk])
        assert link in page_of(sign_in(coach), sent).text
        assert link not in page_of(sign_in(guardian), sent).text

    def test_a_minor_is_not_offered_to_withdraw(self, sign_in, player_user, submission):
        assert "Withdraw, and delete" not in page_of(sign_in(player_user), submission(State.READY)).text

    def test_no_such_submission(self, family, db):
        assert family.get(reverse("submission", args=[uuid4()])).status_code == 404

    def test_it_cannot_be_posted_to(self, family, submission):
        assert family.post(reverse("submission", args=[submission().pk])).status_code == 405

    def test_a_stranger_signs_in_first(self, stranger, submission):
        assert page_of(stranger, submission()).url.startswith(reverse("account_login"))


def test_time_is_told_in_local_words(settings, submission):
    settings.TIME_ZONE = "Europe/Oslo"
    with timezone.override("Europe/Oslo"):
        moment = timezone.datetime(2026, 10, 5, 16, 42, tzinfo=timezone.get_fixed_timezone(0))
        assert progress.day_and_time(moment) == "Monday, October 5, 6:42 PM"
