"""The one reader of JSON bodies: what it gives can be kept in any database and drawn, counted and sent back.

JSON may hold more than that (RFC 8259): numbers beyond what a double holds exactly, halves of surrogate pairs, any depth;
and Python's reader takes NaN and Infinity, which are no JSON.
"""

from __future__ import annotations

import json
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, JsonResponse
from django.http.request import RawPostDataException
from django.utils.translation import gettext as _

from portal.plain_input import is_plain

LARGEST = 2**53  # whole numbers up to here are the same in every reader (RFC 8259, section 6)
DEEPEST = 24


class Unreadable(Exception):
    """The body cannot be taken; `words` say why and what to do, `status` is the HTTP status that fits."""

    def __init__(self, words: str, status: int = 400) -> None:
        super().__init__(words)
        self.words, self.status = words, status

    def answer(self) -> JsonResponse:
        return JsonResponse({"words": self.words}, status=self.status)


def read_object(request: HttpRequest) -> dict[str, Any]:
    """The JSON object that is the request's body. Raises Unreadable for anything else."""
    try:
        value = json.loads(request.body.decode(), parse_constant=_number, parse_int=_whole, parse_float=_number)
    except RequestDataTooBig:
        raise Unreadable(_("That is too much at once. Load the page anew and try once more."), 413) from None
    except (ValueError, RecursionError, RawPostDataException):  # the last where the body was a form, and read as one
        raise Unreadable(_("What was sent cannot be read. Load the page anew and try once more.")) from None
    if not isinstance(value, dict):
        raise Unreadable(_("What was sent is of another form than expected. Load the page anew and try once more."))
    _refuse_odd(value)
    return value


def _whole(text: str) -> int:
    number = int(text)
    if abs(number) > LARGEST:
        raise ValueError(text)
    return number


def _number(text: str) -> float:
    number = float(text)
    if not abs(number) <= LARGEST:  # written so that NaN is refused as well
        raise ValueError(text)
    return number


def _refuse_odd(value: object) -> None:
    """Look at every text, level by level."""
    level, depth = [value], 0
    while level:
        if depth > DEEPEST:
            raise Unreadable(_("What was sent is of another form than expected. Load the page anew and try once more."))
        if not all(is_plain(one) for one in level if isinstance(one, str)):
            raise Unreadable(_("The text holds signs that cannot be kept. Type those words anew, please."))
        level, depth = [inner for one in level for inner in _inside(one)], depth + 1


def _inside(value: object) -> list[Any]:
    if isinstance(value, dict):
        return [*value, *value.values()]
    return value if isinstance(value, list) else []
