"""The words of the tus resumable upload protocol 1.0.0: its headers, read and checked. Pure.

Core, and the extensions creation, creation-with-upload, termination, checksum and expiration. A length that is told only
later (Upload-Defer-Length) is not offered: room on the disk is asked for before a byte is taken.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from django.utils.http import http_date

VERSION = "1.0.0"
EXTENSIONS = ("creation", "creation-with-upload", "termination", "checksum", "expiration")
ALGORITHMS = ("sha1", "sha256", "md5")
OCTETS = "application/offset+octet-stream"
CHECKSUM_MISMATCH = 460
LONGEST_METADATA = 4096
_WHOLE = re.compile(r"[0-9]{1,18}", re.ASCII)


class Hash(Protocol):
    def update(self, data: bytes, /) -> None: ...

    def digest(self) -> bytes: ...


class Fault(Exception):
    """A request that is not of the protocol, or not of this state of the upload: `status` and the words for its client."""

    def __init__(self, status: int, words: str) -> None:
        super().__init__(words)
        self.status, self.words = status, words


@dataclass(frozen=True)
class Checksum:
    """What the bytes of one request must add up to."""

    algorithm: str
    digest: bytes

    def new(self) -> Hash:
        return hashlib.new(self.algorithm, usedforsecurity=False)


def what_we_speak(most_bytes: int) -> dict[str, str]:
    """The answer to OPTIONS."""
    return {
        "Tus-Version": VERSION,
        "Tus-Extension": ",".join(EXTENSIONS),
        "Tus-Max-Size": str(most_bytes),
        "Tus-Checksum-Algorithm": ",".join(ALGORITHMS),
    }


def require_version(text: str | None) -> None:
    if text != VERSION:
        raise Fault(412, f"Tus-Resumable is {text!r}; this server speaks {VERSION}.")


def require_octets(content_type: str | None) -> None:
    if (content_type or "").split(";")[0].strip().lower() != OCTETS:
        raise Fault(415, f"The Content-Type is {content_type!r}; bytes of an upload come as {OCTETS}.")


def length_of(text: str | None, deferred: str | None = None) -> int:
    """Upload-Length of a new upload."""
    if text is None and deferred is not None:
        raise Fault(400, "Upload-Defer-Length is not offered; say the Upload-Length.")
    return _whole("Upload-Length", text)


def offset_of(text: str | None) -> int:
    """Upload-Offset of a PATCH."""
    return _whole("Upload-Offset", text)


def _whole(name: str, text: str | None) -> int:
    if text is None or not _WHOLE.fullmatch(text):
        raise Fault(400, f"{name} is {text!r}; use a whole number.")
    return int(text)


def metadata_of(text: str) -> dict[str, str]:
    """Upload-Metadata: pairs of a key and a value in Base64, separated by commas; a key may stand alone."""
    found: dict[str, str] = {}
    if len(text) > LONGEST_METADATA:
        raise Fault(400, f"Upload-Metadata is longer than {LONGEST_METADATA} bytes.")
    for pair in filter(None, (pair.strip(" ") for pair in text.split(","))):
        key, _, value = pair.partition(" ")
        if not key.isascii() or not key.isprintable() or key in found:
            raise Fault(400, "Upload-Metadata: keys are ASCII without spaces and commas, each once.")
        found[key] = _from_base64("Upload-Metadata", value).decode(errors="replace")
    return found


def checksum_of(text: str | None) -> Checksum | None:
    """Upload-Checksum: an algorithm that we offer and the digest in Base64; None where there is none."""
    if text is None:
        return None
    algorithm, _, value = text.partition(" ")
    if algorithm not in ALGORITHMS:
        raise Fault(400, f"Upload-Checksum: {algorithm!r} is not offered; use one of {', '.join(ALGORITHMS)}.")
    return Checksum(algorithm, _from_base64("Upload-Checksum", value))


def date(at: datetime) -> str:
    """For Upload-Expires."""
    return http_date(at.timestamp())


def _from_base64(name: str, value: str) -> bytes:
    try:
        return base64.b64decode(value, validate=True)
    except (binascii.Error, ValueError):
        raise Fault(400, f"{name}: {value[:40]!r} is not Base64.") from None
