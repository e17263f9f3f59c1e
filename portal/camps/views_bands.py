"""A camp's own bands: the page on which its head coach changes them, and the log of who did."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Page, Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from portal import access
from portal.after_commit import after_commit
from portal.camps import bands
from portal.camps.band_form import BandsForm
from portal.camps.models import BandChange, Camp
from portal.look.words import band_words
from portal.measuring import door, rounds
from portal.people.models import Level

A_PAGE = 12  # changes
BY_ID = {entry.id: entry for entry in door.CHECKPOINTS}
MOST = 2**31 - 1  # what the column of the version holds


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def camp_bands(request: HttpRequest, pk: int, level: str = bands.ALL) -> HttpResponse:
    """The bands for all levels, or for one. Every coach of the camp may look; see `access.sets_bands` for who may change."""
    is_change = request.method == "POST"
    camp = access.get_camp_to_set(request.user, pk) if is_change else access.get_camp(request.user, pk)
    if level and level not in Level.values:
        raise Http404
    may_change = access.sets_bands(request.user, camp)
    form = BandsForm(camp, level, door.usual_errors(), request.POST if is_change else None, may_change)
    if is_change and form.is_valid() and _changed(request, camp, form):
        return redirect(request.path)
    if is_change:
        messages.warning(request, _("Nothing was saved yet: please look at the rows that say why."))
    return render(request, "camps/bands.html", _about(request, camp, level, form, may_change))


def _changed(request: HttpRequest, camp: Camp, form: BandsForm) -> bool:
    """Change them and say so. Always True: a page that was too old is shown anew."""
    user = access.require_person(request.user)
    try:
        count = bands.change(camp, form.level, _version(request), form.wanted, user)
    except bands.Stale:
        messages.warning(
            request,
            _(
                "Somebody else changed the bands of this camp meanwhile, so nothing was saved. Here is how they stand now."
            ),
        )
        return True
    if not count:
        messages.info(request, _("All bands are as they were."))
        return True
    after_commit(rounds.ask_if_lost)
    said = ngettext("%(n)d band was changed.", "%(n)d bands were changed.", count) % {"n": count}
    more = _("Clips that are not published yet are read with it in the next minutes; what is published stays as it is.")
    messages.success(request, f"{said} {more}")
    return True


def _version(request: HttpRequest) -> int:
    text = request.POST.get("version", "")
    return min(int(text), MOST) if text.isascii() and text.isdigit() and len(text) < 12 else -1


def _about(request: HttpRequest, camp: Camp, level: str, form: BandsForm, may_change: bool) -> dict[str, Any]:
    return {
        "camp": camp,
        "level": level,
        "levels": [(bands.ALL, _("All levels")), *Level.choices],
        "rows": form.rows,
        "may_change": may_change,
        "log": _log(camp, request.GET.get("page", "1")),
    }


def _log(camp: Camp, number: str) -> Page[dict[str, Any]]:
    page: Page[Any] = Paginator(camp.band_changes.select_related("by"), A_PAGE).get_page(number)
    page.object_list = [_change(change) for change in page.object_list]
    return page


def _change(change: BandChange) -> dict[str, Any]:
    entry = BY_ID.get(change.checkpoint)
    unit = entry.unit if entry else ""
    book = _("the book’s") if not change.level else _("what holds for all")
    return {
        "at": change.at,
        "by": change.by,
        "name": _(entry.name) if entry else change.checkpoint,
        "level": change.get_level_display() if change.level else _("all levels"),
        "before": band_words(change.before, unit) if change.before else book,
        "after": band_words(change.after, unit) if change.after else book,
    }
