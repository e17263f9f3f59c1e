"""The addresses of resumable uploads (tus 1.0.0): one to begin at, and one of each upload.

A family reads the words of a refusal in JSON, as of the plain way to send; what only a client can have done wrong is said
in plain text.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed, JsonResponse
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from portal import access
from portal.intake import receiving
from portal.intake.models import Upload
from portal.intake.receiving import Refused
from portal.intake.tus import protocol, uploads
from portal.intake.tus.protocol import Fault
from portal.intake.tus.straight import Straight
from portal.intake.views.sending import note, tell
from portal.plain_input import content_length
from portal.web.straight import TAKER, Taker

View = Callable[..., HttpResponse]
FROM_THE_LINE = 64 * 1024  # what a line that breaks in the middle costs at most


def _speaks_tus(**handlers: View) -> View:
    """A view that answers each method of `handlers` by the protocol. The token of the page is looked at once the body is known
    to be no form, which would be read for it.
    """

    @csrf_exempt
    @wraps(next(iter(handlers.values())))
    def view(request: HttpRequest, pk: UUID) -> HttpResponse:
        try:
            response = _answer(request, pk, handlers)
        except Fault as fault:
            response = HttpResponse(fault.words, status=fault.status, content_type="text/plain; charset=utf-8")
        except Refused as refused:
            note(refused)
            response = JsonResponse({"code": refused.code, "words": refused.words}, status=refused.status)
        except Http404:
            response = HttpResponse(status=404)
        response["Tus-Resumable"] = protocol.VERSION
        response["Cache-Control"] = "no-store"
        if response.status_code == 412:
            response["Tus-Version"] = protocol.VERSION
        return response

    return view


def _answer(request: HttpRequest, pk: UUID, handlers: dict[str, View]) -> HttpResponse:
    method = str(request.method)
    if method == "POST":
        method = request.headers.get("X-HTTP-Method-Override", method).upper()
    if method == "OPTIONS":
        return HttpResponse(status=204, headers=protocol.what_we_speak(settings.UPLOAD_MAX_BYTES))
    if method.lower() not in handlers:
        return HttpResponseNotAllowed([*(known.upper() for known in handlers), "OPTIONS"])
    protocol.require_version(request.headers.get("Tus-Resumable"))
    if _has_body(request):
        protocol.require_octets(request.content_type)
    return _with_token(request, pk, handlers[method.lower()])


@csrf_protect
def _with_token(request: HttpRequest, pk: UUID, handler: View) -> HttpResponse:
    return handler(request, pk)


def _has_body(request: HttpRequest) -> bool:
    return request.META.get("CONTENT_LENGTH") not in ("", "0", None) or "HTTP_TRANSFER_ENCODING" in request.META


def _begin(request: HttpRequest, pk: UUID) -> HttpResponse:
    """POST: a new upload, and its first bytes where they come along."""
    submission = access.get_family_submission(request.user, pk)
    length = protocol.length_of(request.headers.get("Upload-Length"), request.headers.get("Upload-Defer-Length"))
    metadata = request.headers.get("Upload-Metadata", "")
    upload = uploads.begin(submission, request.user, length, metadata, protocol.metadata_of(metadata))
    response = HttpResponse(status=201, headers={"Location": reverse("upload", args=[upload.pk])})
    if _has_body(request):
        _take(request, upload, 0, response)
    else:
        _stand(request, upload, 0, response)
    return response


def _head(request: HttpRequest, pk: UUID) -> HttpResponse:
    """HEAD: how many bytes are here. An upload that a crash left whole becomes its clip now."""
    upload = access.get_upload(request.user, pk)
    response = HttpResponse()
    if upload.metadata:
        response["Upload-Metadata"] = upload.metadata
    response["Upload-Length"] = str(upload.size)
    _stand(request, upload, uploads.offset(upload), response)
    return response


def _patch(request: HttpRequest, pk: UUID) -> HttpResponse:
    """PATCH: more bytes, and the clip once all are here."""
    upload = access.get_upload(request.user, pk)
    protocol.require_octets(request.content_type)
    response = HttpResponse(status=204)
    _take(request, upload, protocol.offset_of(request.headers.get("Upload-Offset")), response)
    return response


def _delete(request: HttpRequest, pk: UUID) -> HttpResponse:
    """DELETE: it was chosen by mistake, or is not wanted any more."""
    uploads.end(access.get_upload(request.user, pk))
    return HttpResponse(status=204)


def _take(request: HttpRequest, upload: Upload, at: int, response: HttpResponse) -> None:
    straight = request.META.get(TAKER)
    if isinstance(straight, Straight) and (straight.key, straight.at) == (upload.pk, at):
        offset = uploads.took(upload, straight)
    else:
        checksum = protocol.checksum_of(request.headers.get("Upload-Checksum"))
        offset = uploads.take(upload, at, receiving.pieces_of(request, _at_a_time(request)), checksum)
    _stand(request, upload, offset, response)


def _at_a_time(request: HttpRequest) -> int:
    """A server that says so has all that will come in a file already (portal/web): no line can break under us."""
    return receiving.PIECE if request.META.get("wsgi.input_terminated") else FROM_THE_LINE


def _stand(request: HttpRequest, upload: Upload, offset: int, response: HttpResponse) -> None:
    """Where the upload stands; where all of it is here, the clip is made and its page named."""
    response["Upload-Offset"] = str(offset)
    if offset == upload.size:
        is_news = upload.clip_id is None
        kept = uploads.finish(upload)
        response["Content-Location"] = reverse("submission", args=[kept.clip.submission_id])
        if is_news:
            tell(request, kept)
    else:
        response["Upload-Expires"] = protocol.date(upload.expires_at)


def _straight(request: HttpRequest, pk: UUID) -> Taker | None:
    """The end of the upload itself, for a PATCH of the usual kind. Of anything else, faults included, `_patch` says what
    becomes of it once it is here.
    """
    if request.method != "PATCH" or request.headers.get("Tus-Resumable") != protocol.VERSION:
        return None
    if "Upload-Checksum" in request.headers or not request.META.get("CONTENT_LENGTH"):
        return None
    try:
        protocol.require_octets(request.content_type)
        at = protocol.offset_of(request.headers.get("Upload-Offset"))
        upload = access.get_upload(request.user, pk)
    except (Fault, Http404):
        return None
    return uploads.straight(upload, at, content_length(request))


upload_new: Any = _speaks_tus(post=_begin)
upload: Any = _speaks_tus(patch=_patch, head=_head, delete=_delete)
upload.straight = _straight
