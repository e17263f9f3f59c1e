"""An upload: begun, filled, and whole at some moment; then it is the clip of the same id.

The clip takes the id of its upload. So whatever moment a crash comes in, finishing again finds the file (still a part, or
already in its place), enters the row if it is not there, and never makes a second clip.
"""

from __future__ import annotations

import logging
import tempfile
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import IO

from django.core.files.storage import default_storage
from django.utils import timezone

from portal.intake import clips, receiving, room
from portal.intake.film_kind import HEAD
from portal.intake.models import Clip, Submission, Upload
from portal.intake.receiving import PIECE, Arrived, InPlace, Refused
from portal.intake.tus import parts
from portal.intake.tus.protocol import CHECKSUM_MISMATCH, Checksum, Fault
from portal.intake.tus.straight import Straight
from portal.people.models import User

log = logging.getLogger(__name__)

KEPT_FOR = timedelta(days=3)  # from the last byte on: a weekend without a net
QUIET = timedelta(minutes=1)  # nobody has been at it for so long
MOST_OPEN = 5  # of one submission


def begin(submission: Submission, by: User, size: int, metadata: str, about: dict[str, str]) -> Upload:
    """A new upload with no byte in it. Raises Refused, as for a whole clip."""
    clips.refuse_state(submission)
    receiving.refuse_length(size)
    room.require_for(size)
    name = receiving.safe_name(about.get("filename") or about.get("name") or "")
    _end_the_oldest(submission)
    return Upload.objects.create(
        submission=submission, begun_by=by, size=size, name=name, metadata=metadata,
        mark=about.get("mark", "")[:64], expires_at=timezone.now() + KEPT_FOR,
    )  # fmt: skip


def _end_the_oldest(submission: Submission) -> None:
    begun = submission.uploads.filter(clip=None).order_by("-expires_at")
    for upload in begun[MOST_OPEN - 1 :]:
        end(upload)


def offset(upload: Upload) -> int:
    """How many bytes are here. The disk says it, so it is true after every crash."""
    if upload.clip_id is not None:
        return upload.size
    there = parts.length(upload.pk)
    if there is not None:
        return there
    return upload.size if _lies_in_place(upload) else 0


def take(upload: Upload, at: int, pieces: Iterable[bytes], checksum: Checksum | None = None) -> int:
    """Add the pieces, the first of which belongs at `at`; the new offset. All of a broken request that came is kept,
    except where it brought a checksum: then all of it or nothing.

    Raises Fault when the offset is another, the bytes are too many or the checksum is wrong, Refused when it is no film.
    """
    if at != offset(upload):
        raise Fault(409, f"Upload-Offset is {at}; the upload stands at {offset(upload)}.")
    try:
        if checksum is None:
            _append_all(upload, at, pieces)
        else:
            with tempfile.TemporaryFile(dir=receiving.incoming()) as aside:
                _append_all(upload, at, _checked(pieces, checksum, aside, upload.size - at))
    except parts.Moved:
        raise Fault(409, f"Another request took the upload beyond {at}.") from None
    except OSError as error:
        if receiving.is_full_disk(error):
            raise receiving.disk_full() from error
        if not receiving.is_broken_line(error):
            raise
    return _settle(upload, at)


def straight(upload: Upload, at: int, length: int) -> Straight | None:
    """What takes so many bytes while they come in; None where they do not belong there, which `take` says in words."""
    if upload.clip_id is not None or at + length > upload.size or at != offset(upload):
        return None
    try:
        return Straight(upload.pk, at)
    except FileNotFoundError:
        return None


def took(upload: Upload, straight: Straight) -> int:
    """The bytes are here already; otherwise as `take`."""
    if straight.has_moved:
        raise Fault(409, f"Another request took the upload beyond {straight.end}.")
    return _settle(upload, straight.at)


def _settle(upload: Upload, at: int) -> int:
    """What began at `at` is here, as far as it came; the new offset, once that is on the disk itself."""
    parts.settle(upload.pk)
    if at < HEAD:
        _look(upload)
    _keep_longer(upload)
    return offset(upload)


def _keep_longer(upload: Upload) -> None:
    """Not with every piece of a quick line: a row written is time in which the line stands still."""
    until = timezone.now() + KEPT_FOR
    if until - upload.expires_at > QUIET / 4:
        upload.expires_at = until
        Upload.objects.filter(pk=upload.pk).update(expires_at=until)


def _append_all(upload: Upload, at: int, pieces: Iterable[bytes]) -> None:
    looked = at >= HEAD
    for piece in pieces:
        if at + len(piece) > upload.size:
            raise Fault(413, f"These are more bytes than the Upload-Length of {upload.size}.")
        parts.append(upload.pk, at, piece)
        at += len(piece)
        if not looked and at >= HEAD:
            _look(upload)
            looked = True


def _checked(pieces: Iterable[bytes], checksum: Checksum, aside: IO[bytes], most: int) -> Iterable[bytes]:
    """The pieces again, once all of them came and add up. Meanwhile they lie in a file without a name."""
    digest, came = checksum.new(), 0
    for piece in pieces:
        came += len(piece)
        if came > most:
            raise Fault(413, "These are more bytes than the Upload-Length.")
        digest.update(piece)
        aside.write(piece)
    if digest.digest() != checksum.digest:
        raise Fault(CHECKSUM_MISMATCH, "The bytes do not add up to their Upload-Checksum.")
    aside.seek(0)
    while piece := aside.read(PIECE):
        yield piece


def _look(upload: Upload) -> None:
    """Refuse what is no film as soon as its first bytes are here; then nothing of it stays."""
    with parts.held(upload.pk) as file:
        if file is None:
            return
        head = file.read(HEAD)
    if len(head) < min(HEAD, upload.size):
        return
    try:
        receiving.refuse_kind(head)
    except Refused:
        end(upload)
        raise


def is_whole(upload: Upload) -> bool:
    return offset(upload) == upload.size


def finish(upload: Upload) -> clips.Kept:
    """Make the clip of a whole upload; called again, it gives the same clip. Raises Refused, and then nothing stays."""
    if upload.clip is not None:
        return clips.Kept(upload.clip, again=upload.clip_id != upload.pk)
    made = Clip.objects.filter(pk=upload.pk).first()
    try:
        kept = clips.Kept(made, again=False) if made else _finish(upload)
    except Refused as refused:
        if refused.status < 500:
            end(upload)
        raise
    Upload.objects.filter(pk=upload.pk).update(clip=kept.clip)
    upload.clip = kept.clip
    return kept


def _finish(upload: Upload) -> clips.Kept:
    with parts.held(upload.pk) as file:
        if file is not None:
            arrived: Arrived | InPlace = Arrived(parts.path_of(upload.pk), upload.size)
        else:  # in its place already: a crash came before the row, or another request is quicker
            made = Clip.objects.filter(pk=upload.pk).first()
            if made is not None:
                return clips.Kept(made, again=False)
            arrived = InPlace(Clip(pk=upload.pk).place, upload.size)
        return clips.keep(upload.submission, arrived, upload.name, pk=upload.pk)


def _lies_in_place(upload: Upload) -> bool:
    place = Clip(pk=upload.pk).place
    return default_storage.exists(place) and default_storage.size(place) == upload.size


def end(upload: Upload) -> None:
    """Forget the upload and delete its bytes. The clip that came of it stays."""
    Upload.objects.filter(pk=upload.pk).delete()
    parts.remove(upload.pk)


def finish_whole(now: datetime | None = None) -> int:
    """Finish what is whole and has no clip: a crash came just then, and nobody asked since. How many there were."""
    quiet = (now or timezone.now()) + KEPT_FOR - QUIET
    found = 0
    for upload in Upload.objects.filter(clip=None, expires_at__lt=quiet).select_related("submission__player"):
        if is_whole(upload):
            try:
                finish(upload)
                found += 1
            except Refused as refused:
                log.info("Upload %s became no clip: %s", upload.pk, refused.code)
    return found


def end_expired(now: datetime | None = None) -> int:
    """Forget the uploads that nobody went on with. How many there were."""
    expired = list(Upload.objects.filter(expires_at__lt=now or timezone.now()))
    for upload in expired:
        if upload.clip_id is not None or not is_whole(upload):
            end(upload)
    return len(expired)
