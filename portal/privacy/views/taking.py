"""A copy of everything that is kept of a family, as one ZIP that is made while it is sent."""

from __future__ import annotations

from collections.abc import Iterator

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.cache import cache
from django.http import HttpRequest, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from zipstream import ZipStream

from portal import access
from portal.form_address import form_stands_at
from portal.people.models import User
from portal.privacy import takeout
from portal.privacy.takeout import Entry

MOST, WITHIN_S = 5, 3600


def _own_page(request: HttpRequest) -> str:
    access.require_person(request.user)
    return reverse("family")


@login_required
@form_stands_at(_own_page)
def take_everything(request: HttpRequest) -> HttpResponseBase:
    """The account and every player it speaks for. Nobody else's: each file comes from one of these rows."""
    user = access.require_person(request.user)
    if not _may_again(user):
        messages.error(request, _("That is many copies for one hour. Come again in an hour for the next one."))
        return redirect("family")
    entries = takeout.entries(user, access.players_taken_out_by(user))
    response = StreamingHttpResponse(_zip(entries), content_type="application/zip")
    response["Content-Disposition"] = f'attachment; filename="cagenote-{timezone.localdate()}.zip"'
    response["Cache-Control"] = "private, no-store"
    return response


def _may_again(user: User) -> bool:
    """Count one more copy of this account; no when there were MOST within the hour."""
    key = f"everything-taken:{user.pk}"
    cache.add(key, 0, WITHIN_S)
    return int(cache.incr(key)) <= MOST


def _zip(entries: list[Entry]) -> Iterator[bytes]:
    """The ZIP in pieces; film is packed already, so nothing is packed once more."""
    packed = ZipStream()
    for entry in entries:
        packed.add(entry.pieces(), entry.name)
    yield from packed
