"""Deletion that deletes: a withdrawn submission keeps its row and the log of who saw it, and no picture or number."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from portal.after_commit import after_commit
from portal.desk.models import HandOver, Review
from portal.evaluations.models import Evaluation
from portal.health import ballast
from portal.intake.models import Clip, Submission, Upload
from portal.intake.states import State
from portal.measuring import workplaces
from portal.measuring.models import Measurement
from portal.privacy import ledger

OLD = timedelta(hours=1)


def withdraw(submission: Submission) -> None:
    """Withdraw `submission` and delete its clips, measurements, draft and evaluations, files included.

    Withdrawing again changes nothing. The files go once the rows are gone for good; `leftovers` finds what a crash in
    between left behind. It works on a full disk, too.
    """
    ballast.throw_off_if_full()
    _withdraw(submission)


@transaction.atomic
def _withdraw(submission: Submission) -> None:
    if submission.state != State.WITHDRAWN:
        submission.move(State.WITHDRAWN, note="", film_again_words="", reviewer=None)
    names, folders = files_of(Submission.objects.filter(pk=submission.pk))
    for clip_id in submission.clips.values_list("pk", flat=True):
        after_commit(workplaces.clear_of, clip_id)
    Review.objects.filter(submission=submission).delete()
    HandOver.objects.filter(submission=submission).delete()
    Evaluation.objects.filter(submission=submission).delete()
    Clip.objects.filter(submission=submission).delete()
    Upload.objects.filter(submission=submission).delete()
    after_commit(ledger.note, ledger.WITHDRAWN, str(submission.pk))
    after_commit(delete_files, names, folders)


def files_of(submissions: QuerySet[Submission]) -> tuple[list[str], list[str]]:
    """Storage names of what came in for these submissions, and the folders of what was made from it."""
    clips = list(Clip.objects.filter(submission__in=submissions))
    editions = Evaluation.objects.filter(submission__in=submissions).defer("snapshot")
    begun = list(Upload.objects.filter(submission__in=submissions).values_list("pk", flat=True))
    names = [clip.original.name for clip in clips if clip.original.name]
    names += [f"originals/{key}" for key in begun]  # where a crash came before the clip's row
    names += [f"incoming/{key}.part" for key in begun]
    return names, [*(clip.folder for clip in clips), *(edition.folder for edition in editions)]


def delete_files(names: Iterable[str], folders: Iterable[str]) -> None:
    for name in names:
        default_storage.delete(name)
    for folder in folders:
        delete_folder(folder)


def delete_folder(folder: str) -> None:
    """Delete a folder of the storage with all it holds; one that is not there is fine.

    Where somebody puts a file into it in this very moment the folder stays: whoever wrote it looks after their own.
    """
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return
    for inner in folders:
        delete_folder(f"{folder}/{inner}")
    for file in files:
        default_storage.delete(f"{folder}/{file}")
    with suppress(OSError):  # not empty any more
        default_storage.delete(folder)


def leftovers(now: datetime | None = None, old: timedelta = OLD) -> list[str]:
    """Storage names of files and folders that belong to nothing: originals, things made from clips, editions, broken-off
    uploads. Untouched for `old` at least, so that nothing is taken for lost that is only just being put away.
    """
    until = (now or timezone.now()) - old
    clips = set(Clip.objects.values_list("pk", flat=True))
    begun = set(Upload.objects.values_list("pk", flat=True))
    editions = set(Evaluation.objects.values_list("pk", flat=True))
    names = [
        *(f"originals/{name}" for name in _names("originals") if _is_orphan(name, clips | begun)),
        *(f"clips/{name}" for name in _names("clips") if _is_orphan(name, clips)),
        *_half_made(clips),
        *(f"evaluations/{name}" for name in _names("evaluations") if _is_orphan(name, editions)),
        *(f"incoming/{name}" for name in _names("incoming") if not _is_begun(name, begun)),
    ]
    return [name for name in names if _touched(name) < until]


def erase_leftovers(now: datetime | None = None, old: timedelta = OLD) -> list[str]:
    """Delete the leftovers; their names."""
    found = leftovers(now, old)
    for name in found:
        if _is_folder(name):
            delete_folder(name)
        else:
            default_storage.delete(name)
    return found


def erase_half_sent(old: timedelta = OLD) -> int:
    """Delete what plain forms left that were being read when the web process was killed. How many there were."""
    until = timezone.now().timestamp() - old.total_seconds()
    left = [
        path for path in Path(settings.FILE_UPLOAD_TEMP_DIR or "/nowhere").glob("*") if path.stat().st_mtime <= until
    ]
    for path in left:
        path.unlink(missing_ok=True)
    return len(left)


def _half_made(clips: set[UUID]) -> list[str]:
    """Folders in which a killed worker left half of its products: neither named by the measurement nor being filled."""
    used: dict[str, tuple[str, str]] = {}
    for key, products, claim in Measurement.objects.values_list("clip_id", "products", "claim"):
        used[str(key)] = (products, f"clips/{key}/{claim[:12]}")
    folders = [name for name in _names("clips") if not _is_orphan(name, clips) and name in used]
    return [
        f"clips/{name}/{inner}"
        for name in folders
        for inner in default_storage.listdir(f"clips/{name}")[0]
        if f"clips/{name}" != used[name][0] and f"clips/{name}/{inner}" not in used[name]
    ]


def _is_begun(name: str, begun: set[UUID]) -> bool:
    """Whether it holds the bytes of an upload that its family can go on with."""
    try:
        return UUID(name.removesuffix(".part")) in begun
    except ValueError:
        return False


def _names(folder: str) -> list[str]:
    try:
        folders, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return []
    return sorted([*folders, *files])


def _is_orphan(name: str, known: set[UUID]) -> bool:
    """Whether the name is the id of a thing that is gone; names of another kind are none of ours."""
    try:
        return UUID(name) not in known
    except ValueError:
        return False


def _is_folder(name: str) -> bool:
    try:
        default_storage.listdir(name)
    except (FileNotFoundError, NotADirectoryError):
        return False
    return True


def _touched(name: str) -> datetime:
    """When the file, or the newest file of the folder, was last written; an empty folder is as old as can be."""
    if not _is_folder(name):
        return default_storage.get_modified_time(name)
    inner = [_touched(f"{name}/{inner}") for inner in _names(name)]
    return max(inner, default=datetime.min.replace(tzinfo=UTC))
