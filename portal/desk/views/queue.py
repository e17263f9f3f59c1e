"""The review queue."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from portal import access
from portal.camps.models import Camp
from portal.desk import worklist
from portal.intake.models import Submission

LINES_A_PAGE = 25


@login_required
@require_safe
def queue(request: HttpRequest) -> HttpResponse:
    """The work list of a coach, by camp and by what is to be done."""
    coach = access.require_coach(request.user)
    camps = access.camps_seen_by(coach)
    camp = _chosen_camp(request, camps)
    seen = access.submissions_reviewed_by(coach)
    if camp is not None:
        seen = seen.filter(camp=camp)
    chosen = request.GET.get("list", "")
    chosen = chosen if chosen in worklist.LISTS else "waiting"
    page = Paginator(worklist.waiting_order(seen, chosen), LINES_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "lines": [worklist.line(submission, coach) for submission in page],
        "camps": camps,
        "camp": camp,
        "chosen": chosen,
        "lists": _lists(seen, chosen),
    }
    return render(request, "desk/queue.html", context)


def _chosen_camp(request: HttpRequest, camps: Iterable[Camp]) -> Camp | None:
    """The camp named in the address, if the coach has it; any other name counts as no choice."""
    wanted = request.GET.get("camp", "")
    return next((camp for camp in camps if str(camp.pk) == wanted), None)


def _lists(seen: QuerySet[Submission], chosen: str) -> list[dict[str, object]]:
    counts = worklist.counts(seen)
    return [
        {"name": name, "words": words, "count": counts[name], "current": name == chosen}
        for name, (words, _states) in worklist.LISTS.items()
    ]
