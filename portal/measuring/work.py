"""One clip, from the claim to the end: what a worker does."""

from __future__ import annotations

import errno
import logging
import os
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from portal.intake import room
from portal.intake.models import Clip
from portal.intake.receiving import is_full_disk
from portal.measuring import claims, door, fingerprint, products, runner, workplaces
from portal.measuring.claims import Claim, ClaimLost
from portal.measuring.models import RUNNING, Measurement, Stage

log = logging.getLogger(__name__)

NO_SPACE = os.strerror(errno.ENOSPC)
BETWEEN_WRITES_S = 0.5  # what a person sees as moving; each line would be a write of its own


def measure(clip_id: UUID) -> str:
    """Measure the clip if it waits. Returns how it ended: measured, failed, again, lost, idle or no room."""
    if not _is_room_for(clip_id):
        claims.hold_for_room(clip_id)
        room.tell_owner()
        return "no room"
    claim = claims.take(clip_id)
    if claim is None:
        return "idle"
    try:
        return _measure(claim, Clip.objects.select_related("submission__player").get(pk=clip_id))
    except (ClaimLost, Clip.DoesNotExist):
        log.info("Clip %s: somebody else holds it now, or it was withdrawn.", clip_id)
        return "lost"
    except Exception as error:
        if _is_for_want_of_room(error):
            return _wait_for_room(claim)
        log.exception("Clip %s: measuring failed at attempt %d.", clip_id, claim.attempt)
        claims.give_back(claim)
        return "again"
    except BaseException:  # the worker is asked to stop
        claims.give_back(claim, blameless=True)
        raise


def _is_room_for(clip_id: UUID) -> bool:
    size = Clip.objects.filter(pk=clip_id, measurement__stage=Stage.WAITING).values_list("size", flat=True).first()
    return size is None or room.is_there_to_measure(size)


def _is_for_want_of_room(error: Exception) -> bool:
    return (isinstance(error, OSError) and is_full_disk(error)) or room.is_as_good_as_full()


def _wait_for_room(claim: Claim) -> str:
    """A full disk fails everything in its own way; none of it is the clip's fault."""
    log.error("Clip %s waits: the disk is full.", claim.clip_id)
    claims.wait_for_room(claim)
    room.tell_owner()
    return "no room"


def _measure(claim: Claim, clip: Clip) -> str:
    folder = products.folder_for(clip, claim.token)
    before = Measurement.objects.get(clip=clip)
    try:
        twin = _measured_twin(clip)
        if twin is not None:
            claims.note(claim, stage=Stage.COPYING)
            products.copy(twin, folder)
        else:
            ending = _run(claim, clip, folder)
            if not isinstance(ending, runner.Measured):
                return _not_measured(claim, ending)
        _keep(claim, clip, folder, before.corrections)
    except BaseException:
        products.remove(folder)
        products.remove_all_of_gone(clip)
        raise
    products.remove_others(clip, folder)
    return "measured"


def _measured_twin(clip: Clip) -> Measurement | None:
    """A finished measurement of the very same file: it is not watched twice."""
    sha256 = fingerprint.of(clip)
    twins = Measurement.objects.filter(clip__sha256=sha256, stage=Stage.DONE).exclude(clip=clip).exclude(products="")
    return twins.order_by("-method", "-finished_at").first()


def _run(claim: Claim, clip: Clip, folder: str) -> runner.Ending:
    with workplaces.workplace(clip.pk) as place, _local_file(clip, place) as original:
        ending = runner.measure(original, place, _Progress(claim))
        if isinstance(ending, runner.Measured):
            claims.note(claim)  # before the slow part: is it still ours?
            products.put(place, folder)
    return ending


def _keep(claim: Claim, clip: Clip, folder: str, corrections: dict[str, Any]) -> None:
    """Read the tracks with the bands of the player's level, and write the row that makes it all visible."""
    name = f"{folder}/{products.TRACKS}"
    tracks = door.load_tracks(name)
    result = door.read_clip(clip, tracks, corrections)
    method = int(tracks.watch.get("version", 0))
    claims.finish(claim, method=method, tracks=name, products=folder, **door.kept(result))


def _not_measured(claim: Claim, ending: runner.Ending) -> str:
    if room.is_as_good_as_full() or (isinstance(ending, runner.Stopped) and NO_SPACE in ending.trace):
        return _wait_for_room(claim)
    match ending:
        case runner.Refused(code, words):
            claims.fail(claim, code, words)
        case runner.Overtime():
            claims.fail(claim, "overtime", _overtime_words())
        case runner.Stopped(status, trace):
            log.error(
                "Clip %s: measuring ended with status %d at attempt %d.\n%s",
                claim.clip_id,
                status,
                claim.attempt,
                trace,
            )
            claims.give_back(claim)
            return "again"
    return "failed"


def _overtime_words() -> str:
    minutes = settings.MEASURE_TIME_LIMIT_S // 60
    return _(
        "Measuring took longer than %(minutes)d minutes, so we stopped. "
        "Please send a shorter clip: one to three swings are plenty."
    ) % {"minutes": minutes}


class _Progress:
    """Writes the process's progress into the row, seldom enough for the database and often enough for a person."""

    def __init__(self, claim: Claim) -> None:
        self.claim = claim
        self.stage = Stage.OPENING
        self.written = 0.0

    def __call__(self, line: dict[str, Any] | None) -> None:
        fields = _fields(line) if line else {}
        stage = fields.get("stage", self.stage)
        if line is None or stage != self.stage or time.monotonic() - self.written > BETWEEN_WRITES_S:
            claims.note(self.claim, **fields)
            self.stage, self.written = stage, time.monotonic()


def _fields(line: dict[str, Any]) -> dict[str, Any]:
    """The columns that a line of progress sets; nothing for a line that makes no sense."""
    stage, done, total = line.get("stage"), line.get("done"), line.get("total")
    if stage not in RUNNING or not isinstance(done, int) or not isinstance(total, int):
        return {}
    return {"stage": Stage(stage), "done": max(0, done), "total": max(0, total)}


@contextmanager
def _local_file(clip: Clip, place: Path) -> Iterator[Path]:
    """The original as a file on this machine: itself when the storage is a folder, else a copy."""
    try:
        path = Path(default_storage.path(str(clip.original.name)))
    except NotImplementedError:
        path = place / "original"
        with clip.original.open("rb") as stored, path.open("wb") as out:
            shutil.copyfileobj(stored, out, 1 << 20)
    yield path
