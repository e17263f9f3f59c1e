"""Whose large body is taken. Asked when its header is here, so that no stranger fills the disk with what nobody wants."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user
from django.core.handlers.wsgi import WSGIRequest
from django.db import Error, close_old_connections
from django.http import HttpRequest, HttpResponse
from django.urls import Resolver404, resolve
from django.views.decorators.csrf import csrf_protect

from portal.web.straight import Taker

AROUND = 64 * 1024  # what a form adds around its file, generously


def largest() -> int:
    """The longest body that is of any use."""
    return int(settings.UPLOAD_MAX_BYTES) + AROUND


def largest_of_anybody() -> int:
    """What a form without a file may hold."""
    return int(settings.DATA_UPLOAD_MAX_MEMORY_SIZE)


def may_send(environ: dict[str, Any]) -> bool | Taker:
    """Whether a body of this length may come from who asks: somebody signed in, and not more than the site takes.

    Where this says no the portal answers all the same, by its own words, from the header alone. A yes may come as the
    Taker of the body.
    """
    if int(environ.get("CONTENT_LENGTH") or 0) > largest():
        return False
    request = WSGIRequest(environ)
    key = request.COOKIES.get(settings.SESSION_COOKIE_NAME)
    request.session = import_module(settings.SESSION_ENGINE).SessionStore(key)
    request.user = get_user(request)
    if not request.user.is_authenticated:
        return False
    taker = _straight(request)
    return True if taker is None else taker


def _straight(request: WSGIRequest) -> Taker | None:
    """Whereto its view wants the body; None for most, and for a request without the page's token."""
    try:
        found = resolve(request.path_info)
    except Resolver404:
        return None
    straight = getattr(found.func, "straight", None)
    if straight is None or (request.method != "POST" and _has_token(request).status_code != 204):
        return None
    taker: Taker | None = straight(request, *found.args, **found.kwargs)
    return taker


@csrf_protect
def _has_token(request: HttpRequest) -> HttpResponse:
    """Looked at in the header; a form carries it in its body, where its view looks at it."""
    return HttpResponse(status=204)


def ask(environ: dict[str, Any]) -> bool | Taker:
    """`may_send` from a thread of the server, where no request tidies up the database's connection."""
    close_old_connections()
    try:
        return may_send(environ)
    except Error:  # no; the portal's page says what is wrong
        return False
    finally:
        close_old_connections()
