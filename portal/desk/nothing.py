"""What a coach reads where a list of the queue is empty: what would stand there, and where to go on."""

from __future__ import annotations

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from portal.camps.models import Camp
from portal.desk import filters, lists

WORDS: dict[str, tuple[str | Promise, str | Promise]] = {
    "waiting": (
        gettext_lazy("Nobody is waiting for you"),
        gettext_lazy("New clips come here as soon as they are measured."),
    ),
    "mine": (
        gettext_lazy("You have no review under way"),
        gettext_lazy("What you begin to review stands here until you publish it or give it back."),
    ),
    "free": (
        gettext_lazy("None is free"),
        gettext_lazy("What no coach has begun to review stands here."),
    ),
    "asked": (
        gettext_lazy("No question waits"),
        gettext_lazy("What a family asks about an evaluation stands here until you answer."),
    ),
    "others": (
        gettext_lazy("No other coach is reviewing"),
        gettext_lazy("What another coach of your camps has begun to review stands here."),
    ),
    "measuring": (
        gettext_lazy("Nothing is being measured"),
        gettext_lazy("Clips stand here from when a family sends them until they are measured, mostly a few minutes."),
    ),
    "film_again": (
        gettext_lazy("No new clip is asked for"),
        gettext_lazy("Where you ask a family to film again, it stands here until the new clip comes."),
    ),
    "published": (
        gettext_lazy("Nothing is published yet"),
        gettext_lazy("Evaluations stand here once they are published, the newest first."),
    ),
}


def words(chosen: str, counts: dict[str, int], camps: list[Camp]) -> dict[str, str]:
    """Title, text, and a link to what comes next, where there is something, for an empty list that no filter has emptied."""
    if not camps:
        return {
            "title": _("No camp yet"),
            "text": _("Clips come from the families of a camp: make one, and send them its invite link."),
            "href": reverse("camp_new"),
            "link": _("Make the first camp"),
        }
    if not any(counts.values()):
        return {
            "title": _("No clip yet"),
            "text": _(
                "Clips come from families: send them the invite link of their camp. It stands on the camp’s page."
            ),
            "href": reverse("camp", args=[camps[0].pk]) if len(camps) == 1 else reverse("camps"),
            "link": _("To the invite link"),
        }
    title, text = WORDS[chosen]
    return {"title": str(title), "text": str(text), **_next(chosen, counts)}


def _next(chosen: str, counts: dict[str, int]) -> dict[str, str]:
    """To the first of these lists that holds something: who waits, else what is on its way there."""
    links = {lists.FIRST: _("To who waits for you"), "measuring": _("To what is being measured")}
    name = next((name for name in links if counts[name] and name != chosen), None)
    return {"href": filters.address({"list": name}), "link": links[name]} if name else {"href": "", "link": ""}
