"""A question to the coach: on the page, in the queue, by mail, a few at a time."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from portal.evaluations import asking
from portal.evaluations.models import Evaluation, Question
from portal.outbox.models import Email
from portal.privacy import takeout


@pytest.fixture(autouse=True)
def _nothing_written_yet(evaluation):
    Email.objects.all().delete()  # that it was published


@pytest.fixture
def url(evaluation):
    return f"/evaluations/{evaluation.pk}/"


@pytest.fixture
def post(django_capture_on_commit_callbacks):
    """Post as if it were committed."""

    def send(client, address, **data):
        with django_capture_on_commit_callbacks(execute=True):
            return client.post(address, data)

    return send


@pytest.mark.parametrize("who", ["guardian", "player_user"])
def test_the_family_asks_and_the_coach_hears_without_a_childs_name(request, sign_in, post, url, who):
    answer = post(sign_in(request.getfixturevalue(who)), f"{url}questions/", words="How high is the tee for Ida?")
    assert answer.url == f"{url}#questions"
    (email,) = mail.outbox
    assert email.to == ["maren@example.org"]
    assert f"http://localhost:8000{url}#questions" in email.body
    assert not [word for word in ("Ida", "Sandvall", "tee") if word in email.subject + email.body]


def test_the_answer_stands_on_the_page_and_goes_to_all_of_the_family(sign_in, post, coach, guardian, url, evaluation):
    question = asking.ask(evaluation, guardian, "How high is the tee?")
    Email.objects.all().delete()
    post(sign_in(coach), f"{url}questions/{question.pk}/", words="At the belt.")
    assert sorted(email.to for email in mail.outbox) == [["ida@example.org"], ["lea@example.org"]]
    for email in mail.outbox:
        assert "Ida" not in email.subject
        assert "At the belt." in email.body
    html = sign_in(guardian).get(url).content.decode()
    assert "How high is the tee?" in html
    assert "At the belt." in html


def test_an_answer_is_given_once(sign_in, post, coach, guardian, url, evaluation):
    question = asking.ask(evaluation, guardian, "How high is the tee?")
    asking.answer(question, coach, "At the belt.")
    Email.objects.all().delete()
    client = sign_in(coach)
    post(client, f"{url}questions/{question.pk}/", words="At the knee.")
    assert Question.objects.get().answer == "At the belt."
    assert mail.outbox == []
    assert "answered just now" in client.get(url).content.decode()


def test_a_few_questions_at_a_time(sign_in, post, guardian, url, coach, evaluation):
    client = sign_in(guardian)
    for n in range(3):
        post(client, f"{url}questions/", words=f"Question {n}?")
    assert len(mail.outbox) == 1  # one email for an evening's questions
    said = post(client, f"{url}questions/", words="One more, typed at length?").content.decode()
    assert "Three questions of yours wait already." in said
    assert "One more, typed at length?" in said
    for question in Question.objects.all():
        asking.answer(question, coach, "Yes.")
    for n in range(2):
        post(client, f"{url}questions/", words=f"Another {n}?")
    assert "Five questions in a day" in post(client, f"{url}questions/", words="A sixth?").content.decode()
    Question.objects.update(asked_at=timezone.now() - timedelta(days=2))
    post(client, f"{url}questions/", words="The next day?")
    assert Question.objects.filter(words="The next day?").exists()


@pytest.mark.parametrize("words", ["", "  ", "?", "x" * 601])
def test_what_is_no_question_is_said_on_the_page(sign_in, guardian, url, words):
    answer = sign_in(guardian).post(f"{url}questions/", {"words": words})
    assert answer.context["ask"].errors["words"]
    assert not Question.objects.exists()


def test_an_empty_answer_is_said_beside_its_question(sign_in, coach, guardian, url, evaluation):
    question = asking.ask(evaluation, guardian, "How high is the tee?")
    assert "Please write your answer first." in sign_in(coach).post(f"{url}questions/{question.pk}/").content.decode()


def test_only_the_family_asks_and_only_coaches_answer(
    sign_in, coach, other_coach, guardian, other_guardian, url, evaluation
):
    question = asking.ask(evaluation, guardian, "How high is the tee?")
    answer = {"words": "High."}
    for who in (coach, other_coach, other_guardian):
        assert sign_in(who).post(f"{url}questions/", {"words": "May I ask?"}).status_code == 404
    for who in (guardian, other_coach, other_guardian):
        assert sign_in(who).post(f"{url}questions/{question.pk}/", answer).status_code == 404
    assert Question.objects.get().answered_at is None


@pytest.mark.parametrize("tail", ["questions/", "questions/1/"])
def test_who_comes_to_a_form_from_the_sign_in_is_led_to_where_it_stands(
    sign_in, client, coach, guardian, other_guardian, url, tail
):
    for who in (coach, guardian):
        assert sign_in(who).get(url + tail).url == f"{url}#questions"
    assert sign_in(other_guardian).get(url + tail).status_code == 404
    assert client.get(url + tail).url.startswith("/accounts/login/")
    assert sign_in(guardian).put(url + tail).status_code == 405


def test_the_queue_shows_that_a_question_waits_until_it_is_answered(sign_in, coach, guardian, url, evaluation):
    client = sign_in(coach)
    assert "list=asked" not in client.get(reverse("queue")).content.decode()
    question = asking.ask(evaluation, guardian, "How high is the tee?")
    html = client.get(reverse("queue") + "?list=asked").content.decode()
    assert f'href="{url}#questions"' in html
    assert "list=asked" in client.get(reverse("queue")).content.decode()
    asking.answer(question, coach, "At the belt.")
    assert url not in client.get(reverse("queue") + "?list=asked").content.decode()


def test_another_coach_of_the_camp_is_told_when_the_writer_has_left(
    guardian, evaluation, camp, other_coach, django_capture_on_commit_callbacks
):
    camp.coaches.set([other_coach])
    with django_capture_on_commit_callbacks(execute=True):
        asking.ask(Evaluation.objects.get(pk=evaluation.pk), guardian, "How high is the tee?")
    assert [email.to for email in mail.outbox] == [["tibor@example.org"]]


def test_questions_are_in_the_familys_copy(guardian, coach, player, evaluation):
    asking.answer(asking.ask(evaluation, guardian, "How high is the tee?"), coach, "At the belt.")
    (entry,) = [one for one in takeout.entries(guardian, [player]) if one.name.endswith("questions.json")]
    (held,) = json.loads(entry.text)
    assert (held["question"], held["answer"], held["answered_by"]) == (
        "How high is the tee?",
        "At the belt.",
        "Maren Oduya",
    )


def test_questions_go_with_the_player(guardian, player, evaluation):
    asking.ask(evaluation, guardian, "How high is the tee?")
    player.delete()
    assert not Question.objects.exists()
