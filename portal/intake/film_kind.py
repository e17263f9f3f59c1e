"""What a file is, by its first bytes: a film, a photo, or something else. File names and types prove nothing.

ISO base media files (MP4, MOV) start with a box: four bytes of size, four of type (ISO/IEC 14496-12, 4.2), `ftyp` first
in files of today, QuickTime's older ones with another top-level box. Matroska and WebM start with the EBML mark
(RFC 8794, 11.2.1).
"""

from __future__ import annotations

from enum import Enum

HEAD = 64
EBML = b"\x1a\x45\xdf\xa3"
FIRST_BOXES = {b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"}
# Major brands of pictures in the same kind of box (ISO/IEC 23008-12 and the AVIF specification)
PHOTO_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"avif"}
PHOTO_MARKS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF8")


class FilmKind(Enum):
    FILM = "film"
    PHOTO = "photo"
    OTHER = "other"


def kind_of(head: bytes) -> FilmKind:
    """The kind of the file that starts with `head`, at least 12 bytes of it; fewer count as something else."""
    if head.startswith(PHOTO_MARKS):
        return FilmKind.PHOTO
    if head[4:8] == b"ftyp":
        return FilmKind.PHOTO if head[8:12] in PHOTO_BRANDS else FilmKind.FILM
    if head.startswith(EBML) or (len(head) >= 12 and head[4:8] in FIRST_BOXES):
        return FilmKind.FILM
    return FilmKind.OTHER
