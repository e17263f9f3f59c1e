"""Publishing is whole or not at all: full disks, failures after the pictures, double clicks, two coaches at once."""

from __future__ import annotations

import errno
import threading

import pytest
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import OperationalError, connection
from django.urls import reverse

from portal.desk.models import MarkUp, Review
from portal.evaluations import publish as publishing
from portal.evaluations.models import Evaluation
from portal.evaluations.publish import NotPublished, publish
from portal.intake import mails
from portal.intake.erase import leftovers
from portal.intake.states import State
from tests.portal.conftest import make_measured_clip, make_player, make_submission, make_user


@pytest.fixture
def desk(coach, sign_in):
    return sign_in(coach)


def send(client, review, **also):
    url = reverse("desk_publish", args=[review.submission_id])
    return client.post(url, {"version": review.version, **also}, follow=True)


def kept_folders() -> list[str]:
    return default_storage.listdir("evaluations")[0] if default_storage.exists("evaluations") else []


def assert_nothing_happened(review) -> None:
    assert not Evaluation.objects.exists()
    assert kept_folders() == []
    review.submission.refresh_from_db()
    assert (review.submission.state, review.submission.reviewer) == (State.IN_REVIEW, review.submission.reviewer)
    assert Review.objects.get(pk=review.pk).version == review.version


def test_a_full_disk_is_said_and_leaves_the_draft(full, desk, monkeypatch):
    saved = FileSystemStorage.save
    names: list[str] = []

    def save(storage, name, content, **kwargs):
        names.append(name)
        if len(names) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        return saved(storage, name, content, **kwargs)

    monkeypatch.setattr(FileSystemStorage, "save", save)
    answer = send(desk, full)
    assert "Our disk is full, so nothing was published. Your draft is kept." in answer.content.decode()
    assert len(names) == 2
    assert_nothing_happened(full)


def test_pictures_go_when_the_edition_could_not_be_entered(full, coach, monkeypatch):
    def fail(_made):
        raise RuntimeError("no email today")

    monkeypatch.setattr(mails, "published", fail)
    with pytest.raises(RuntimeError):
        publish(full, coach)
    assert_nothing_happened(full)


def test_pictures_stay_where_the_edition_is_there_all_the_same(full, coach, monkeypatch):
    """The line to the database broke as it said that the commit holds."""
    enter = publishing._enter

    def enter_and_break(*args):
        enter(*args)
        raise OperationalError("the line broke")

    monkeypatch.setattr(publishing, "_enter", enter_and_break)
    with pytest.raises(OperationalError):
        publish(full, coach)
    made = Evaluation.objects.get()
    assert sorted(default_storage.listdir(made.folder)[1]) == ["picture-1.jpg", "picture-2.jpg"]


def test_pictures_stay_where_the_database_does_not_answer(full, coach, monkeypatch):
    def silent(*_args, **_kwargs):
        raise OperationalError("gone")

    monkeypatch.setattr(publishing, "_enter", silent)
    monkeypatch.setattr(Evaluation.objects, "filter", silent)
    with pytest.raises(OperationalError):
        publish(full, coach)
    assert len(kept_folders()) == 1
    monkeypatch.undo()
    from datetime import timedelta

    from django.utils import timezone

    assert leftovers(timezone.now() + timedelta(days=2)) == [f"evaluations/{kept_folders()[0]}"]


def test_a_double_click_finds_the_same_edition(full, desk):
    first, second = send(desk, full), send(desk, full)
    made = Evaluation.objects.get()
    assert first.redirect_chain[-1][0] == second.redirect_chain[-1][0] == reverse("evaluation", args=[made.pk])


def test_a_second_coach_finds_the_edition_of_the_first(full, camp, desk, other_coach, sign_in):
    camp.coaches.add(other_coach)
    send(desk, full)
    answer = send(sign_in(other_coach), full)
    assert answer.redirect_chain[-1][0] == reverse("evaluation", args=[Evaluation.objects.get().pk])


def test_a_page_of_an_older_draft_publishes_nothing(full, desk):
    send(desk, full)
    answer = send(desk, full, version=full.version + 1)
    assert "Only who reviews it can publish it." in answer.content.decode()
    assert Evaluation.objects.count() == 1


def test_a_draft_that_changed_while_the_pictures_were_made_is_not_published(full, coach):
    Review.objects.filter(pk=full.pk).update(version=full.version + 1)
    with pytest.raises(NotPublished, match="Look at the preview once more"):
        publish(full, coach)
    assert kept_folders() == []


def test_who_lost_the_review_meanwhile_publishes_nothing(full, camp, coach, other_coach):
    full.submission.reviewer = other_coach
    full.submission.save(update_fields=["reviewer"])
    with pytest.raises(NotPublished):
        publish(full, coach)
    assert not Evaluation.objects.exists()


def test_a_film_that_is_gone_is_said_in_preview_and_publishing(full, desk):
    default_storage.delete(f"{full.clip.measurement.products}/stills.json")
    preview = desk.get(reverse("desk_preview", args=[full.submission_id]))
    assert "The picture of frame 26 cannot be made" in preview.content.decode()
    assert "The picture of frame 26 cannot be made" in send(desk, full).content.decode()
    assert_nothing_happened(full)


def test_a_dead_queue_takes_no_edition_back(full, desk, monkeypatch, django_capture_on_commit_callbacks):
    from kombu.exceptions import OperationalError as NoQueue

    from portal.evaluations import tasks

    def dead(_pk):
        raise NoQueue("connection refused")

    monkeypatch.setattr(tasks.make_pdf, "delay", dead)
    with django_capture_on_commit_callbacks(execute=True):
        answer = send(desk, full)
    assert answer.status_code == 200
    assert Evaluation.objects.get().pdf == ""  # found_missing_pdfs asks again


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_of_many_who_publish_at_once_all_get_the_one_edition(products, sign_in, monkeypatch):
    from portal.camps.models import Camp
    from portal.evaluations import tasks

    monkeypatch.setattr(tasks.make_pdf, "delay", lambda pk: None)
    coach = make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp")
    camp.coaches.add(coach)
    player = make_player(camp, make_user("lea@example.org", "Lea Sandvall"))
    clip = make_measured_clip(make_submission(player, camp, State.IN_REVIEW, reviewer=coach), products)
    review = Review.objects.create(
        submission=clip.submission, clip=clip, good=["Tall."], thing_title="Foot", thing_words="So."
    )
    MarkUp.objects.create(review=review, clip=clip, frame=38)
    clients = [sign_in(coach) for _ in range(5)]
    went: list[str] = []

    def go(client):
        try:
            went.append(send(client, review).redirect_chain[-1][0])
        finally:
            connection.close()

    threads = [threading.Thread(target=go, args=(client,)) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    made = Evaluation.objects.get()
    assert went == [reverse("evaluation", args=[made.pk])] * len(clients)
    assert kept_folders() == [str(made.pk)]
