"""What somebody reads when the disk had no room for what they sent: that nothing is half done, and what to do.

A full disk can show in any request, for nearly all write a row: in the view, or as the session is kept after it. A view that
knows better words says them itself; for all others it is said here.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.views.defaults import server_error as plain_server_error

from portal.full_disk import comes_of_it
from portal.intake import room

INSUFFICIENT_STORAGE = 507  # RFC 4918, section 11.5


class SaidWhenFull:
    """Middleware, inside of sessions: the views' own errors. Whatever was begun in the database is undone by then."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        return _answer(request) if comes_of_it(error) else None


def server_error(request: HttpRequest) -> HttpResponseBase:
    """The handler of all errors that no view or middleware has met: called while the error is being handled."""
    error = sys.exc_info()[1]
    return _answer(request) if error is not None and comes_of_it(error) else plain_server_error(request)


def _answer(request: HttpRequest) -> HttpResponse:
    room.tell_owner()
    if request.content_type == "application/json":
        return JsonResponse({"words": words(), "code": "disk_full"}, status=INSUFFICIENT_STORAGE)
    return HttpResponse(render_to_string("507.html", request=request), status=INSUFFICIENT_STORAGE)


def words() -> str:
    """For a page that keeps what it could not send, and sends it again by itself."""
    return _(
        "Not saved yet: our disk is full. Nothing is lost: leave this page open and tell the owner of this site. It is saved "
        "by itself as soon as there is room."
    )
