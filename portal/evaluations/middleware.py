"""What a viewer reads when their look could not be noted: nothing of the child, and to come again."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.template.loader import render_to_string

from portal.evaluations.access_log import NotNoted

AGAIN_S = "5"


class NoLookUnnoted:
    """503 with a word where the log of who saw what cannot be written; the next try is right again."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, NotNoted):
            return None
        return HttpResponse(render_to_string("503.html", request=request), status=503, headers={"Retry-After": AGAIN_S})
