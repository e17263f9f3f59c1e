"""The review queue."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.backends.utils import csrf_input
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from portal import access
from portal.desk import filters, lists, nothing, worklist
from portal.desk.filters import FilterForm

LINES_A_PAGE = 25


class Counted(Paginator):
    """Pages of a list whose length is known already."""

    def __init__(self, *args: object, count: int, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.count = count


@login_required
@require_safe
def queue(request: HttpRequest) -> HttpResponse:
    """The work list of a coach: what the address asks for, so that going back and loading again keep it."""
    coach = access.require_coach(request.user)
    camps = list(access.camps_seen_by(coach))
    coaches = list(access.coaches_beside(coach))
    form = FilterForm(request.GET, camps=camps, coaches=coaches)
    said = form.said()
    allowed = access.submissions_reviewed_by(coach, camps)
    seen = filters.narrow(allowed, said)
    counts = lists.counts(seen, coach)
    chosen = said["list"]
    # The keys alone are sorted: all that a line tells is asked for the lines of this page.
    keys = lists.in_order(lists.stands_in(seen, chosen, coach), chosen, said["sort"]).values_list("pk", flat=True)
    page = Counted(keys, LINES_A_PAGE, count=counts[chosen]).get_page(request.GET.get("page"))
    told = worklist.with_question(allowed) if counts[lists.ASKED] else allowed
    lines = worklist.shown(told, list(page), coach, chosen, worklist.Known(camps, coaches))
    others = [one for one in coaches if one != coach]
    context = {
        "page": page,
        "lines": lines,
        "camps": camps,
        "nothing": nothing.words(chosen, counts, camps),
        "holds_any": any(counts.values()),
        "lists": _lists(said, counts),
        "columns": _columns(said),
        "form": form.showing(said),
        "narrowed": filters.narrowed(said),
        "all_of_it": filters.address({"list": chosen}),
        "here": request.GET.urlencode(),
        "csrf_input": csrf_input(request),  # made once: each is masked anew, and every line has a form
        "with_ticks": bool(others) and any(line.hand_over for line in lines),
        "givable": [*others, *(one for one in coaches if one == coach)],
    }
    return render(request, "desk/queue.html", context)


def _lists(said: dict[str, str], counts: dict[str, int]) -> list[dict[str, object]]:
    """The lists as links that keep the filters. What nobody else holds, and nobody asks, needs no list."""
    return [
        {
            "words": words,
            "count": counts[name],
            "current": name == said["list"],
            "href": filters.address(said, list=name, sort="", state=""),
        }
        for name, (words, _which) in lists.LISTS.items()
        if name not in ("others", "asked") or counts[name] or name == said["list"]
    ]


def _columns(said: dict[str, str]) -> list[dict[str, str]]:
    """The heads of the table; one that sorts is a link, the other way round where it sorts already."""
    sort = said["sort"] or lists.usual_sort(said["list"])
    names = {
        "due": _("Due"),
        "player": _("Player"),
        "": _("Film"),
        "since": _("Since") if said["list"] in lists.SINCE_STATE else _("Waiting since"),
        "coach": _("Coach"),
    }
    return [
        {
            "words": words,
            "kind": "go" if key == "coach" else "",
            "href": filters.address(said, sort=f"-{key}" if sort == key else key) if key else "",
            "sorted": {key: "ascending", f"-{key}": "descending"}.get(sort, "") if key else "",
        }
        for key, words in names.items()
    ]
