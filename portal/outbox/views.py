"""The outbox: letters that the app wrote. For the owner; in a demo, which has no mail server, for anybody."""

from __future__ import annotations

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from portal import access
from portal.outbox.models import Letter

ON_A_PAGE = 30


def _require_reader(request: HttpRequest) -> None:
    if not settings.DEMO:
        access.require_owner(request.user)


@never_cache
@require_safe
def outbox(request: HttpRequest) -> HttpResponse:
    _require_reader(request)
    page = Paginator(Letter.objects.all(), ON_A_PAGE).get_page(request.GET.get("page"))
    about = {"page": page, "demo": settings.DEMO, "forwards": bool(settings.OUTBOX_FORWARDS_TO)}
    return render(request, "outbox/outbox.html", about)


@never_cache
@require_safe
def letter(request: HttpRequest, pk: int) -> HttpResponse:
    _require_reader(request)
    found = get_object_or_404(Letter, pk=pk)
    access.note_letter(request.user, found)
    return render(request, "outbox/letter.html", {"letter": found})
