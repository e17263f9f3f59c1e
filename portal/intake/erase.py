"""Deletion that deletes: a withdrawn submission keeps its row and the log of who saw it, and no picture or number."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.core.files.storage import default_storage
from django.db import transaction

from portal.desk.models import Review
from portal.evaluations.models import Evaluation
from portal.intake.models import Clip, Submission
from portal.intake.states import State


@transaction.atomic
def withdraw(submission: Submission) -> None:
    """Withdraw `submission` and delete its clips, measurements, draft and evaluations, files included.

    Withdrawing again changes nothing. The files go once the rows are gone for good; `leftovers` finds what a crash in
    between left behind.
    """
    if submission.state != State.WITHDRAWN:
        submission.move(State.WITHDRAWN, note="", film_again_words="", reviewer=None)
    clips, editions = list(submission.clips.all()), list(submission.evaluations.all())
    names = [clip.original.name for clip in clips if clip.original.name]
    folders = [*(clip.folder for clip in clips), *(edition.folder for edition in editions)]
    Review.objects.filter(submission=submission).delete()
    Evaluation.objects.filter(submission=submission).delete()
    Clip.objects.filter(submission=submission).delete()
    transaction.on_commit(lambda: delete_files(names, folders))


def delete_files(names: Iterable[str], folders: Iterable[str]) -> None:
    for name in names:
        default_storage.delete(name)
    for folder in folders:
        delete_folder(folder)


def delete_folder(folder: str) -> None:
    """Delete a folder of the storage with all it holds; one that is not there is fine."""
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return
    for inner in folders:
        delete_folder(f"{folder}/{inner}")
    for file in files:
        default_storage.delete(f"{folder}/{file}")
    default_storage.delete(folder)


def leftovers() -> list[str]:
    """Storage names of originals and folders whose clip or evaluation no longer has a row."""
    clips, editions = (
        set(Clip.objects.values_list("pk", flat=True)),
        set(Evaluation.objects.values_list("pk", flat=True)),
    )
    return [
        *(f"originals/{name}" for name in _names("originals") if _orphan(name, clips)),
        *(f"clips/{name}" for name in _names("clips") if _orphan(name, clips)),
        *(f"evaluations/{name}" for name in _names("evaluations") if _orphan(name, editions)),
    ]


def _names(folder: str) -> list[str]:
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return []
    return sorted([*folders, *files])


def _orphan(name: str, known: set[UUID]) -> bool:
    """Whether the name is the id of a thing that is gone; names of another kind are none of ours."""
    try:
        return UUID(name) not in known
    except ValueError:
        return False
