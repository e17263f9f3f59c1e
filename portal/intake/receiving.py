"""Taking in a clip: from the line to a local file piece by piece, looked at on the way, then into the storage."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import IO, TYPE_CHECKING, cast

from django.conf import settings
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.http import HttpRequest
from django.http.request import UnreadablePostError
from django.utils.text import get_valid_filename
from django.utils.translation import gettext as _

from portal.intake.film_kind import HEAD, FilmKind, kind_of

if TYPE_CHECKING:
    from portal.intake.models import Clip

PIECE = 1024 * 1024  # of a body that lies on the disk already: larger pieces are fewer turns of the lock
MEGABYTE = 1024 * 1024
LONGEST_NAME = 100
DISK_FULL = "disk_full"


class Refused(Exception):
    """The file can't be taken; `words` say why and what to do, `status` is the HTTP status that fits."""

    def __init__(self, code: str, words: str, status: int = 400) -> None:
        super().__init__(words)
        self.code, self.words, self.status = code, words, status


@dataclass(frozen=True)
class Arrived:
    """A whole film on the local disk, with what was learnt while it came."""

    path: Path
    size: int

    def open(self) -> IO[bytes]:
        return self.path.open("rb")

    def put(self, clip: Clip) -> InPlace:
        """Move it to where the clip's original lies. What a crash left there before the clip had a row goes."""
        if default_storage.exists(clip.place):
            default_storage.delete(clip.place)
        with _Renamed(self.path) as file:
            clip.original.save(clip.name, file, save=False)
        self.discard()
        _settle_name(clip.place)
        return InPlace(clip.place, self.size)

    def discard(self) -> None:
        self.path.unlink(missing_ok=True)


@dataclass(frozen=True)
class InPlace:
    """A whole film that lies already where the clip's original belongs, because a crash came before the row."""

    place: str
    size: int

    def open(self) -> IO[bytes]:
        return cast("IO[bytes]", default_storage.open(self.place, "rb"))

    def put(self, clip: Clip) -> InPlace:
        clip.original.name = self.place
        return self

    def discard(self) -> None:
        default_storage.delete(self.place)


def _settle_name(place: str) -> None:
    """Come back when the new name is on the disk itself, as the bytes are: a row must not outlive a file's name."""
    with suppress(NotImplementedError):  # a storage that is no folder
        handle = os.open(os.path.dirname(default_storage.path(place)), os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


class _Renamed(File):
    """A file that Django's file storage renames into place instead of copying it."""

    def __init__(self, path: Path) -> None:
        super().__init__(path.open("rb"), name=path.name)
        self._path = path

    def temporary_file_path(self) -> str:
        return str(self._path)


def pieces_of(request: HttpRequest, size: int = PIECE) -> Iterator[bytes]:
    """The request's body in pieces of `size` bytes, never all of it in memory."""
    while piece := request.read(size):
        yield piece


def refuse_length(length: int) -> None:
    """Refuse by the announced length, before a byte is read."""
    if length == 0:
        raise Refused("empty", _("This file is empty: there is no film in it. Choose the clip once more."))
    if length > settings.UPLOAD_MAX_BYTES:
        raise too_large()


def take_in(pieces: Iterable[bytes], announced: int | None = None) -> Arrived:
    """Write the pieces to a local file and look at them on the way.

    `announced`: how many bytes should come, None where that is not known. Raises Refused for an empty file, one that is
    no film, one over the cap, one that came in part, and when the disk is full; nothing stays behind then.
    """
    path = new_file()
    try:
        with path.open("wb") as out:
            head, size = _write(out, pieces)
            out.flush()
            os.fsync(out.fileno())
        _refuse(head, size, announced)
    except BaseException as error:
        path.unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise _trouble(error) from error
        raise
    return Arrived(path, size)


def safe_name(name: str) -> str:
    """The file's name as the family knows it: no folders, no control characters, not endless."""
    last = PurePath(name.replace("\\", "/")).name
    printable = "".join(sign for sign in last if sign.isprintable()).strip(" .")
    stem, dot, ending = printable.rpartition(".")
    try:
        ending = get_valid_filename(ending)[:8] if dot else ""
    except ValueError:  # nothing valid is left of it
        ending = ""
    stem = (stem or printable)[:LONGEST_NAME]
    return f"{stem}.{ending}" if ending else stem or _("clip")


def incoming() -> Path:
    """Where files lie that are on their way, on the disk of the storage where there is one, so that taking over is a
    rename.
    """
    folder = Path(getattr(default_storage, "location", tempfile.gettempdir())) / "incoming"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def new_file() -> Path:
    """One for a film that comes in whole."""
    handle, name = tempfile.mkstemp(dir=incoming(), prefix="clip-", suffix=".part")
    os.close(handle)
    return Path(name)


def _write(out: IO[bytes], pieces: Iterable[bytes]) -> tuple[bytes, int]:
    """Write all pieces; the first HEAD bytes and the size."""
    size, head = 0, b""
    for piece in pieces:
        size += len(piece)
        if size > settings.UPLOAD_MAX_BYTES:
            raise too_large()
        if len(head) < HEAD:
            head += piece[: HEAD - len(head)]
        out.write(piece)
    return head, size


def _refuse(head: bytes, size: int, announced: int | None) -> None:
    if announced is not None and size < announced:
        raise Refused("broken_off", _("The connection broke before the whole clip was here. Send it once more."))
    refuse(head, size)


def refuse(head: bytes, size: int) -> None:
    """Refuse what came whole by its size or its first bytes."""
    refuse_length(size)
    refuse_kind(head)


def is_film(head: bytes) -> bool:
    return kind_of(head) is FilmKind.FILM


def refuse_kind(head: bytes) -> None:
    """Refuse by the first bytes what is no film."""
    kind = kind_of(head)
    if kind is FilmKind.PHOTO:
        raise Refused("photo", _("This is a photo. Please choose the film of the swing."), 415)
    if kind is FilmKind.OTHER:
        raise Refused(
            "not_film",
            _("This file is no film that we can open. Choose the clip itself: an MP4, MOV or WebM from the phone."),
            415,
        )


def too_large() -> Refused:
    most = settings.UPLOAD_MAX_BYTES // MEGABYTE
    words = _("This clip is larger than %(most)d MB. Cut it on the phone to three to five swings, then send it again.")
    return Refused("too_large", words % {"most": most}, 413)


def disk_full() -> Refused:
    words = _(
        "Our disk is full, so we can’t take the clip just now. That is our trouble, not yours, and we have been told. "
        "The clip is still on your phone: please send it again later."
    )
    return Refused(DISK_FULL, words, 507)


def is_broken_line(error: OSError) -> bool:
    return isinstance(error, UnreadablePostError) or error.errno in (errno.EPIPE, errno.ECONNRESET)


def is_full_disk(error: OSError) -> bool:
    return error.errno in (errno.ENOSPC, errno.EDQUOT)


def _trouble(error: OSError) -> Refused:
    """A broken line or a full disk, in words for the family."""
    if is_broken_line(error):
        return Refused("broken_off", _("The connection broke before the whole clip was here. Send it once more."))
    if is_full_disk(error):
        return disk_full()
    raise error
