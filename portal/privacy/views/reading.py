"""The privacy page, and where the owner writes on it and reads what goes when."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import Field, Min
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.camps.models import Camp
from portal.outbox import retention as emails
from portal.people.models import User
from portal.privacy import keeping
from portal.privacy.forms import PrivacyTextForm
from portal.privacy.models import Erasure, PrivacyText

ON_A_PAGE = 50


@require_safe
def privacy(request: HttpRequest) -> HttpResponse:
    """What is kept, why, who sees it and how long, in plain words; the times are those that are set."""
    return render(request, "privacy/privacy.html", {"text": PrivacyText.current(), **_times()})


def _times() -> dict[str, object]:
    """The times as they are set: of all camps where they keep alike, else from the shortest to the longest."""
    film = set(Camp.objects.values_list("film_months", flat=True)) or {_default("film_months")}
    pages = set(Camp.objects.values_list("pages_months", flat=True)) or {_default("pages_months")}
    return {
        "film": _span(film),
        "pages": _span(pages),
        "emails": emails.EMAILS.days,
        "codes": emails.SECRETS.days,
        "first": User.objects.filter(is_staff=True, is_active=True).aggregate(first=Min("name"))["first"],
    }


def _default(name: str) -> int:
    field = Camp._meta.get_field(name)
    assert isinstance(field, Field)
    return int(field.get_default())


def _span(months: set[int]) -> str:
    least, most = min(months), max(months)
    if least == most:
        return _("%(n)d months") % {"n": least}
    return _("%(least)d to %(most)d months, as each camp says") % {"least": least, "most": most}


@dataclass(frozen=True)
class CampKeeps:
    """What a camp keeps now, and when the first and the last of it goes."""

    camp: Camp
    players: int
    films: int
    film_first: date | None
    pages_first: date
    pages_last: date


def _by_camp() -> list[CampKeeps]:
    rows = defaultdict(list)
    for kept in keeping.all_kept():
        rows[kept.camp].append(kept)
    return [
        CampKeeps(
            camp,
            players=len(kept),
            films=sum(one.has_film for one in kept),
            film_first=min((one.film_until for one in kept if one.has_film), default=None),
            pages_first=min(one.pages_until for one in kept),
            pages_last=max(one.pages_until for one in kept),
        )
        for camp, kept in rows.items()
    ]


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def owner_privacy(request: HttpRequest) -> HttpResponse:
    """The owner's words on the privacy page, what goes when, what was erased, and whom to erase."""
    access.require_owner(request.user)
    text = PrivacyText.current()
    form = PrivacyTextForm(request.POST if request.method == "POST" else None, instance=text)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved. Everybody reads it at the foot of every page."))
        return redirect("owner_privacy")
    accounts = Paginator(User.objects.filter(is_active=True).order_by("email"), ON_A_PAGE)
    about = {
        "form": form,
        "camps": _by_camp(),
        "erasures": Erasure.objects.all()[:ON_A_PAGE],
        "accounts": accounts.get_page(request.GET.get("page")),
    }
    return render(request, "privacy/owner.html", about)
