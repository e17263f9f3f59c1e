"""Hand out one stored file, in the pieces that browsers ask for. Who may have it is the caller's question."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from typing import Any

from django.conf import settings
from django.core.files import File
from django.core.files.storage import FileSystemStorage, default_storage
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.utils.cache import patch_vary_headers
from django.utils.encoding import filepath_to_uri
from django.utils.http import content_disposition_header, http_date, parse_etags

from portal.ranges import ByteRange, Unsatisfiable, parse_range

ACCEL_PREFIX = "/sealed-media/"  # the front's internal location over MEDIA_ROOT
PIECE = 256 * 1024


def serve(
    request: HttpRequest, storage_name: str, content_type: str, download_name: str | None = None
) -> HttpResponseBase:
    """The stored file `storage_name`: whole (200), a range (206), unchanged (304) or a range outside it (416).

    A front that knows X-Accel-Redirect sends the bytes itself when MEDIA_ACCEL is on and the storage is a folder.
    With `download_name` the browser saves the file under that name instead of showing it.
    Raises Http404 when the file is not there. For GET and HEAD; the view refuses other methods.
    """
    if settings.MEDIA_ACCEL and isinstance(default_storage, FileSystemStorage):
        response: HttpResponseBase = _by_the_front(storage_name)
    else:
        response = _by_ourselves(request, storage_name)
    if response.status_code in (200, 206):
        response["Content-Type"] = content_type
        response["Content-Disposition"] = _disposition(download_name)
    return _kept_private(response)


def _disposition(download_name: str | None) -> str:
    return content_disposition_header(download_name is not None, download_name or "") or "inline"


def _kept_private(response: HttpResponseBase) -> HttpResponseBase:
    """Nothing of it may stay in shared caches, search engines or other sites' logs."""
    response["Cache-Control"] = "private, no-store"  # the desk keeps in memory what it steps through
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    patch_vary_headers(response, ["Cookie"])
    return response


def _by_the_front(storage_name: str) -> HttpResponse:
    """An empty answer that names the file to the front, which knows ranges and ETags itself."""
    if not default_storage.exists(storage_name):
        raise Http404
    return HttpResponse(headers={"X-Accel-Redirect": ACCEL_PREFIX + filepath_to_uri(storage_name)})


def _by_ourselves(request: HttpRequest, storage_name: str) -> HttpResponseBase:
    try:
        size = default_storage.size(storage_name)
        modified = default_storage.get_modified_time(storage_name).timestamp()
    except FileNotFoundError as error:
        raise Http404 from error
    marks = {
        "ETag": _etag(storage_name, size, modified),
        "Last-Modified": http_date(modified),
        "Accept-Ranges": "bytes",
    }
    if _is_unchanged(request, marks["ETag"]):
        return HttpResponse(status=304, headers=marks)
    try:
        wanted = _wanted_range(request, size, marks)
    except Unsatisfiable:
        return HttpResponse(status=416, headers={**marks, "Content-Range": f"bytes */{size}"})
    return _answer(request, storage_name, wanted or ByteRange(0, size - 1, size), wanted is not None, marks)


def _etag(storage_name: str, size: int, modified: float) -> str:
    """A strong mark: files are written once under their name and replaced whole."""
    return '"' + hashlib.sha256(f"{storage_name} {size} {modified!r}".encode()).hexdigest()[:24] + '"'


def _is_unchanged(request: HttpRequest, etag: str) -> bool:
    known = parse_etags(request.headers.get("If-None-Match", ""))
    return "*" in known or etag in [mark.removeprefix("W/") for mark in known]


def _wanted_range(request: HttpRequest, size: int, marks: dict[str, str]) -> ByteRange | None:
    """The range to send, None for the whole file: Range counts for GET alone, and only while If-Range still holds."""
    condition = request.headers.get("If-Range", "").strip()
    if request.method != "GET" or (condition and condition not in (marks["ETag"], marks["Last-Modified"])):
        return None
    return parse_range(request.headers.get("Range", ""), size)


def _answer(
    request: HttpRequest, storage_name: str, part: ByteRange, is_partial: bool, marks: dict[str, str]
) -> HttpResponseBase:
    headers = {**marks, "Content-Length": str(part.length)}
    if is_partial:
        headers["Content-Range"] = part.header
    if request.method == "HEAD":
        return HttpResponse(headers=headers)
    try:
        file = default_storage.open(storage_name, "rb")
    except FileNotFoundError as error:
        raise Http404 from error
    return _PartAnswer(_Part(file, part), status=206 if is_partial else 200, headers=headers)


class _Part:
    """One range of a file, as if it were all of it: to be read, sought in, iterated over and closed.

    A file, not a mere iterator, so that the server can take it over: it then sends at the reader's pace from its loop, and
    no thread waits for a slow phone. It closes the file also when the reader went away before the first piece.
    """

    def __init__(self, file: File[Any], part: ByteRange) -> None:
        self._file, self._part = file, part
        self._at = 0
        if part.first:
            file.seek(part.first)

    def read(self, size: int = -1) -> bytes:
        left = max(0, self._part.length - self._at)
        piece: bytes = self._file.read(left if size < 0 else min(size, left))
        self._at += len(piece)
        return piece

    def seekable(self) -> bool:
        return True

    def tell(self) -> int:
        return self._at

    def seek(self, offset: int, whence: int = os.SEEK_SET) -> int:
        base = {os.SEEK_SET: 0, os.SEEK_CUR: self._at, os.SEEK_END: self._part.length}[whence]
        self._at = base + offset
        self._file.seek(self._part.first + self._at)
        return self._at

    def __iter__(self) -> Iterator[bytes]:
        while piece := self.read(PIECE):
            yield piece

    def close(self) -> None:
        self._file.close()


class _PartAnswer(StreamingHttpResponse):
    """Offers its file to the server (`wsgi.file_wrapper`), as Django's FileResponse does."""

    block_size = PIECE

    def __init__(self, part: _Part, **about: Any) -> None:
        super().__init__(part, **about)
        self.file_to_stream = part
