"""Whether a clip is here already: told by its bytes, compared where another has the same size.

Clips that differ do so within their first bytes, so looking costs next to nothing; and where nothing has that size, not a
byte is read. A hash of every clip while its family waits would cost more than all the rest of taking it in: the worker
reckons it (portal/measuring/fingerprint.py).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import IO
from uuid import UUID

from django.db.models import QuerySet

from portal.intake.models import Clip, Submission
from portal.intake.receiving import PIECE, Arrived, InPlace


def find(submission: Submission, arrived: Arrived | InPlace, looked_at: set[UUID]) -> Clip | None:
    """The clip of this player in this camp that has the very same bytes. What was compared is added to `looked_at`."""
    for clip in of_size(submission, arrived.size, looked_at):
        looked_at.add(clip.pk)
        if _is_same(clip, arrived):
            return clip
    return None


def of_size(submission: Submission, size: int, but_for: Iterable[UUID]) -> QuerySet[Clip]:
    """The clips that may be the same, the newest first."""
    return (
        Clip.objects.filter(submission__player=submission.player_id, submission__camp=submission.camp_id, size=size)
        .exclude(pk__in=but_for)
        .select_related("submission")
        .order_by("-created_at")
    )


def _is_same(clip: Clip, arrived: Arrived | InPlace) -> bool:
    with arrived.open() as new:
        try:
            with clip.original.open("rb") as old:
                return _agree(new, old)
        except (FileNotFoundError, ValueError):  # it lies there no more; its hash may be known
            return bool(clip.sha256) and clip.sha256 == _sha256(new)


def _agree(one: IO[bytes], other: IO[bytes]) -> bool:
    while piece := one.read(PIECE):
        if other.read(PIECE) != piece:
            return False
    return not other.read(1)


def _sha256(file: IO[bytes]) -> str:
    file.seek(0)
    return hashlib.file_digest(file, "sha256").hexdigest()  # type: ignore[arg-type]
