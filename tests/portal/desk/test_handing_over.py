"""Handing a review to another coach: told, logged, and nothing of the draft lost."""

import pytest
from django.urls import reverse

from portal.desk.models import HandOver, Review
from portal.intake.models import Submission
from portal.intake.states import State
from portal.outbox.models import Email

HAND_OVER = reverse("queue_hand_over")


@pytest.fixture
def second(camp, other_coach):
    """Another coach of the camp."""
    camp.coaches.add(other_coach)
    return other_coach


@pytest.fixture
def give(desk_client):
    def post(submission, to, holder=None, client=None, **fields):
        which = f"{submission.pk}:{holder.pk if holder else ''}"
        told = {"which": which, "to": to.pk, **fields}
        return (client or desk_client).post(HAND_OVER, told, follow=True).content.decode()

    return post


def holder_of(submission):
    now = Submission.objects.select_related("reviewer").get(pk=submission.pk)
    return now.state, now.reviewer


def test_my_review_goes_on_with_another_coach_and_its_draft_with_it(give, review, coach, second):
    answer = give(review.submission, second, holder=coach, words="Her mother asks about the knee.")
    assert "1 review is with Tibor Quist now." in answer
    assert holder_of(review.submission) == (State.IN_REVIEW, second)
    assert Review.objects.get(pk=review.pk).greeting == "Hi Ida!"
    logged = HandOver.objects.get()
    assert (logged.by, logged.from_coach, logged.to_coach) == (coach, coach, second)


def test_the_new_holder_finds_it_under_mine_and_reads_from_whom(give, review, coach, second, sign_in):
    give(review.submission, second, holder=coach, words="Her mother asks about the knee.")
    body = sign_in(second).get(reverse("queue"), {"list": "mine"}).content.decode()
    assert "Ida Sandvall" in body
    assert "from Maren: Her mother asks about the knee." in body


def test_what_nobody_holds_can_be_assigned(give, measured_clip, second):
    give(measured_clip.submission, second)
    assert holder_of(measured_clip.submission) == (State.IN_REVIEW, second)
    assert HandOver.objects.get().from_coach is None


def test_the_new_holder_is_told_by_one_email_an_hour(give, review, coach, second, submission):
    give(review.submission, second, holder=coach)
    give(submission(State.READY), second)
    email = Email.objects.get(to=second.email)
    assert "Maren Oduya has handed over" in email.body
    assert "/queue/?list=mine" in email.body
    assert "Sandvall" not in email.subject + email.body


def test_several_are_given_at_once(desk_client, submission, second):
    both = [submission(State.READY), submission(State.UNREADABLE)]
    desk_client.post(HAND_OVER, {"which": [f"{one.pk}:" for one in both], "to": second.pk})
    assert [holder_of(one)[1] for one in both] == [second, second]


def test_what_changed_hands_meanwhile_stays_and_is_named(give, review, coach, second, owner):
    Submission.objects.filter(pk=review.submission_id).update(reviewer=owner)
    assert "Not handed over: Ida Sandvall." in give(review.submission, second, holder=coach)
    assert holder_of(review.submission) == (State.IN_REVIEW, owner)
    assert not HandOver.objects.exists()


def test_nobody_gets_a_review_of_a_camp_that_they_do_not_coach(
    give, measured_clip, other_coach, second, other_camp, coach
):
    measured_clip.submission.camp.coaches.remove(other_coach)
    other_camp.coaches.add(coach)  # so that the two share a camp, and not this one
    assert "Not handed over: Ida Sandvall." in give(measured_clip.submission, other_coach)
    assert holder_of(measured_clip.submission) == (State.READY, None)


def test_a_coach_of_no_camp_of_mine_does_not_exist(desk_client, measured_clip, other_coach):
    told = {"which": f"{measured_clip.submission_id}:", "to": other_coach.pk}
    assert desk_client.post(HAND_OVER, told).status_code == 404


def test_a_stranger_to_the_camp_hands_over_nothing(sign_in, measured_clip, other_coach, other_camp):
    told = {"which": f"{measured_clip.submission_id}:", "to": other_coach.pk}
    assert sign_in(other_coach).post(HAND_OVER, told).status_code == 404
    assert holder_of(measured_clip.submission) == (State.READY, None)


@pytest.mark.parametrize("state", [State.PUBLISHED, State.FILM_AGAIN, State.WITHDRAWN, State.MEASURING])
def test_only_what_waits_for_a_coach_is_handed_over(give, submission, second, state):
    one = submission(state)
    assert "Not handed over" in give(one, second)
    assert holder_of(one) == (state, None)


@pytest.mark.parametrize("which", ["x", ":", "1:2:3", "-" * 36, "00000000-0000-0000-0000-00000000000g:1"])
def test_odd_words_from_the_page_hand_over_nothing(desk_client, second, which):
    answer = desk_client.post(HAND_OVER, {"which": which, "to": second.pk}, follow=True)
    assert "tick the players first" in answer.content.decode()


def test_the_way_back_is_the_same_page_of_the_queue_and_nowhere_else(desk_client, second, submission):
    told = {"which": f"{submission(State.READY).pk}:", "to": second.pk}
    assert desk_client.post(HAND_OVER, {**told, "back": "list=free&q=vane"}).url == "/queue/?list=free&q=vane"
    assert desk_client.post(HAND_OVER, {**told, "back": "//elsewhere.example/"}).url.startswith("/queue/?")


def test_ticks_are_offered_only_where_there_is_somebody_to_give_to(desk_client, measured_clip, camp, other_coach):
    queue = reverse("queue")
    assert 'name="which"' not in desk_client.get(queue).content.decode()
    camp.coaches.add(other_coach)
    body = desk_client.get(queue).content.decode()
    assert f'value="{measured_clip.submission_id}:"' in body
    assert "Tibor Quist" in body


def test_who_comes_to_it_from_the_sign_in_is_led_to_the_queue(desk_client, sign_in, guardian):
    assert desk_client.get(HAND_OVER).url == reverse("queue")
    assert sign_in(guardian).get(HAND_OVER).status_code == 404


@pytest.fixture
def give_from_desk(desk_client):
    def post(submission, to, holder=None, **fields):
        told = {"which": f"{submission.pk}:{holder.pk if holder else ''}", "to": to.pk, **fields}
        return desk_client.post(reverse("desk_hand_over", args=[submission.pk]), told, follow=True)

    return post


def desk_page(client, submission):
    return client.get(reverse("desk", args=[submission.pk])).content.decode()


def test_the_desk_hands_over_by_the_same_rules_and_goes_on_with_the_queue(give_from_desk, review, coach, second):
    answer = give_from_desk(review.submission, second, holder=coach, words="Her knee.")
    assert answer.redirect_chain == [(reverse("queue"), 302)]
    assert "1 review is with Tibor Quist now. Drafts are kept." in answer.content.decode()
    assert holder_of(review.submission) == (State.IN_REVIEW, second)
    logged = HandOver.objects.get()
    assert (logged.by, logged.from_coach, logged.to_coach, logged.words) == (coach, coach, second, "Her knee.")
    assert Email.objects.filter(to=second.email).count() == 1


def test_what_changed_hands_meanwhile_is_told_at_the_desk(give_from_desk, review, coach, second, owner):
    Submission.objects.filter(pk=review.submission_id).update(reviewer=owner)
    answer = give_from_desk(review.submission, second, holder=coach)
    assert answer.redirect_chain == [(reverse("desk", args=[review.submission_id]), 302)]
    assert "Not handed over: Ida Sandvall." in answer.content.decode()
    assert holder_of(review.submission) == (State.IN_REVIEW, owner)


def test_a_page_about_one_hands_over_no_other(give_from_desk, desk_client, review, coach, second, submission):
    other = submission(State.READY)
    told = {"which": [f"{other.pk}:", f"{review.submission_id}:{coach.pk}"], "to": second.pk}
    desk_client.post(reverse("desk_hand_over", args=[review.submission_id]), told)
    assert holder_of(other)[1] is None
    assert holder_of(review.submission)[1] == second


def test_no_coach_chosen_is_said_at_the_desk(desk_client, review):
    address = reverse("desk_hand_over", args=[review.submission_id])
    answer = desk_client.post(address, {}, follow=True)
    assert answer.redirect_chain == [(reverse("desk", args=[review.submission_id]), 302)]
    assert "please choose a coach" in answer.content.decode()


def test_the_desk_offers_the_camps_other_coaches_and_oneself_last(desk_client, sign_in, review, coach, second):
    mine = desk_page(desk_client, review.submission)
    assert f'<option value="{second.pk}">Tibor Quist</option>' in mine
    assert f'<option value="{coach.pk}">{coach}</option>' not in mine
    assert f'value="{review.submission_id}:{coach.pk}"' in mine
    theirs = desk_page(sign_in(second), review.submission)  # who only looks may take it so, as from the queue
    assert f'<option value="{second.pk}">Tibor Quist</option>' in theirs
    Submission.objects.filter(pk=review.submission_id).update(state=State.READY, reviewer=None)
    free = desk_page(desk_client, review.submission)
    assert free.index("Tibor Quist</option>") < free.index("Maren Oduya</option>")
    assert f'value="{review.submission_id}:"' in free


def test_the_desk_offers_nobody_who_could_not_take_it(desk_client, review, second, other_coach):
    second.is_coach = False
    second.save(update_fields=["is_coach"])
    assert "give-dialog" not in desk_page(desk_client, review.submission)


@pytest.mark.parametrize("state", [State.PUBLISHED, State.FILM_AGAIN])
def test_what_waits_for_no_review_is_handed_to_nobody(desk_client, review, second, state):
    Submission.objects.filter(pk=review.submission_id).update(state=state, reviewer=None)
    assert "give-dialog" not in desk_page(desk_client, review.submission)
