"""The file of a backup: a tar of plain files, the last of which, `manifest.json`, names all others with size and hash.

    rows.jsonl.gz      portal/backup/rows.py           secret-key     the signing key
    media/<name>       each file of the storage        manifest.json  {"format", "made_at", "migrations", "tables", "files", …}

Written to a name of its own and renamed once it is whole and on the disk. Read with suspicion: nothing but plain files under
these names counts, and every hash is compared before anything is touched.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import IO, Any

FORMAT = 1
ROWS, KEY, MEDIA, MANIFEST = "rows.jsonl.gz", "secret-key", "media/", "manifest.json"
PIECE = 1024 * 1024


class Unusable(Exception):
    """The file is no backup, or a damaged one; the message says what is wrong with it."""


@dataclass
class Writer:
    """Adds files to the tar and notes what it added."""

    tar: tarfile.TarFile
    files: list[dict[str, Any]] = field(default_factory=list)

    def add(self, name: str, source: IO[bytes], size: int) -> None:
        """Copy `size` bytes of `source`, piece by piece."""
        about = tarfile.TarInfo(name)
        about.size, about.mode = size, 0o600
        hashing = _Hashing(source)
        self.tar.addfile(about, hashing)
        self.files.append({"name": name, "size": size, "sha256": hashing.sha256.hexdigest()})

    def finish(self, about: dict[str, Any]) -> None:
        text = json.dumps({"format": FORMAT, **about, "files": self.files}, indent=1).encode()
        info = tarfile.TarInfo(MANIFEST)
        info.size, info.mode = len(text), 0o600
        self.tar.addfile(info, io.BytesIO(text))


@contextmanager
def writing(path: Path) -> Iterator[Writer]:
    """A new archive that stands under `path` only once it is whole, readable by us alone."""
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            with tarfile.open(fileobj=out, mode="w", format=tarfile.PAX_FORMAT) as tar:
                yield Writer(tar)
            out.flush()
            os.fsync(out.fileno())
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def verified(path: Path) -> dict[str, Any]:
    """The manifest, once every file was read and is the one that it names."""
    try:
        manifest, found = _read_through(path)
    except (tarfile.TarError, EOFError) as error:
        raise Unusable(f"{path} cannot be read as a backup ({error}).") from error
    if manifest is None:
        raise Unusable(f"{path} ends before its list of contents: it was cut off, or is no backup.")
    if manifest.get("format") != FORMAT:
        raise Unusable(f"{path} is a backup of form {manifest.get('format')!r}; this version reads form {FORMAT}.")
    _compare(path, manifest, found)
    return manifest


def _read_through(path: Path) -> tuple[dict[str, Any] | None, dict[str, tuple[int, str]]]:
    """The manifest, None where there is none, and size and hash of each other file."""
    found: dict[str, tuple[int, str]] = {}
    manifest = None
    for name, size, stream in entries(path):
        if manifest is not None or name in found:
            raise Unusable(f"{path} holds {name} twice, or behind its end.")
        if name == MANIFEST:
            manifest = _manifest(stream)
        else:
            found[name] = (size, digest(stream))
    return manifest, found


def entries(path: Path) -> Iterator[tuple[str, int, IO[bytes]]]:
    """Name, size and bytes of each file, in order; Unusable for anything that no backup holds."""
    with tarfile.open(path, "r:") as tar:
        for member in tar:
            if not member.isreg() or not _is_ours(member.name):
                raise Unusable(f"{path} holds {member.name!r}, which belongs into no backup.")
            stream = tar.extractfile(member)
            assert stream is not None
            yield member.name, member.size, stream


def _is_ours(name: str) -> bool:
    """A known name, or one below media/ that leads nowhere else."""
    if name in (ROWS, KEY, MANIFEST):
        return True
    path = PurePosixPath(name)
    is_plain = name == str(path) and "\\" not in name and not any(part in ("..", ".") for part in path.parts)
    return name.startswith(MEDIA) and is_plain and len(path.parts) > 1


def _manifest(stream: IO[bytes]) -> dict[str, Any]:
    try:
        manifest = json.load(stream)
    except ValueError as error:
        raise Unusable("The list of contents cannot be read.") from error
    if not isinstance(manifest, dict) or not isinstance(manifest.get("files"), list):
        raise Unusable("The list of contents is none.")
    return manifest


def _compare(path: Path, manifest: dict[str, Any], found: dict[str, tuple[int, str]]) -> None:
    named = {one["name"]: (one["size"], one["sha256"]) for one in manifest["files"]}
    if named.keys() != found.keys() or not {ROWS, KEY} <= found.keys():
        odd = sorted(named.keys() ^ found.keys())[:3] or [ROWS]
        raise Unusable(f"{path} does not hold what it names: {', '.join(odd)}.")
    for name, about in named.items():
        if found[name] != about:
            raise Unusable(f"{path} is damaged: {name} is not what it was when the backup was made.")


class _Hashing:
    """Reads on behalf of tarfile and hashes on the way."""

    def __init__(self, source: IO[bytes]) -> None:
        self._source = source
        self.sha256 = hashlib.sha256()

    def read(self, size: int = -1) -> bytes:
        piece = self._source.read(size)
        self.sha256.update(piece)
        return piece


def digest(stream: IO[bytes]) -> str:
    sha256 = hashlib.sha256()
    while piece := stream.read(PIECE):
        sha256.update(piece)
    return sha256.hexdigest()
