"""What comes over the line is looked at once, before any view: text that no database can hold gets a 400 with words.

The NUL character, which PostgreSQL refuses, and halves of a surrogate pair, which are no Unicode text, come from no
keyboard. In a cookie they are left out instead, for somebody whose browser keeps a damaged one would otherwise never get
in again. The bodies that hold JSON are read by portal/json_body.py; clips are never touched here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from django.core.exceptions import BadRequest
from django.db import DataError
from django.http import HttpRequest, HttpResponse, QueryDict
from django.http.request import UnreadablePostError
from django.shortcuts import render

_CHARSET = re.compile(r";\s*charset\*?\s*=[^;]*", re.IGNORECASE)
POSTGRES_OUT_OF_RANGE = "22003"  # numeric_value_out_of_range, in the table of its error codes
_ODD = re.compile("[\x00\ud800-\udfff]")


def is_plain(text: str) -> bool:
    """Whether every sign of the text can be kept and sent."""
    return _ODD.search(text) is None


def content_length(request: HttpRequest) -> int:
    """The announced length of the body; 0 where none is announced, or no number."""
    text = request.META.get("CONTENT_LENGTH") or ""
    return int(text) if is_length(text) else 0


def is_length(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= 18


def plain_line(application: Callable[..., Iterable[bytes]]) -> Callable[..., Iterable[bytes]]:
    """The WSGI application, met with headers that Django reads before, or apart from, any middleware.

    A length that is no number counts as none. The sender chooses no alphabet: our pages and scripts send UTF-8, and Python
    knows codecs that make no text at all.
    """

    def call(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        environ["CONTENT_TYPE"] = _CHARSET.sub("", environ.get("CONTENT_TYPE", ""))
        if environ.get("CONTENT_LENGTH") and not is_length(environ["CONTENT_LENGTH"]):
            environ["CONTENT_LENGTH"] = "0"
        return application(environ, start_response)

    return call


class PlainInput:
    """Middleware, before the sessions: address, cookies and forms hold plain text, or the request is refused."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.COOKIES = {name: value for name, value in request.COOKIES.items() if is_plain(name + value)}
        _refuse([request.path, *_texts(request.GET)])
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Callable[..., HttpResponse], *_: object) -> None:
        """Look at the form, where one is read anyway: a view that is free of the CSRF check takes its body by itself."""
        if request.method == "POST" and not getattr(view, "csrf_exempt", False):
            try:
                _refuse(_texts(request.POST))
            except UnreadablePostError as error:
                raise BadRequest("The form broke off on the way.") from error

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """A body that broke off on the line, or a number that no column holds, is nothing for the log of faults."""
        is_theirs = isinstance(error, UnreadablePostError) or _is_too_large(error)
        return render(request, "400.html", status=400) if is_theirs else None


def _is_too_large(error: Exception) -> bool:
    """Whether a row was looked up by a number beyond what the database's own hold: Django asks for choices as they come."""
    if isinstance(error, OverflowError):
        return "SQLite INTEGER" in str(error)
    return isinstance(error, DataError) and getattr(error.__cause__, "sqlstate", "") == POSTGRES_OUT_OF_RANGE


def _texts(held: QueryDict) -> Iterable[str]:
    for name, values in held.lists():
        yield name
        yield from (value for value in values if isinstance(value, str))


def _refuse(texts: Iterable[str]) -> None:
    if not all(map(is_plain, texts)):
        raise BadRequest("The request holds signs that are no text.")
