"""Rows that are ticked in a list of the owner's tables: what cannot be a row's number is refused before it is looked for."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.admin.helpers import ACTION_CHECKBOX_NAME
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse

from portal.people.choosing import can_be


class ChosenRows:
    """Middleware. Django looks for the rows as they come, in every table, and breaks on what no column holds."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Callable[..., HttpResponse], *_: object) -> None:
        table = getattr(view, "model_admin", None)
        if table is None or request.method != "POST":
            return
        number = table.model._meta.pk
        if not all(can_be(number, one) for one in request.POST.getlist(ACTION_CHECKBOX_NAME)):
            raise BadRequest("A row was chosen that cannot be.")
