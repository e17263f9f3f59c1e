"""A coach's own phrase book: the page, its changes, and the list that the desk asks for."""

from __future__ import annotations

from dataclasses import asdict

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.desk.models import Phrase
from portal.desk.phrases import book
from portal.desk.phrases.forms import PhraseForm
from portal.form_address import form_stands_at
from portal.look.kept_words import taken
from portal.people.models import User

SHOWN_OFFERS = 12


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def phrases(request: HttpRequest) -> HttpResponse:
    """The phrases of this coach, and what could become one; a POST adds."""
    coach = access.require_coach(request.user)
    form = PhraseForm(request.POST or None, instance=Phrase(coach=coach))
    if request.method == "POST" and form.is_valid():
        form.save()
        taken(request, _said(form, _("Kept in your phrase book.")))
        return redirect("phrases")
    return render(request, "desk/phrases.html", _about(coach, form))


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def phrase(request: HttpRequest, pk: int) -> HttpResponse:
    """One phrase, to change its words."""
    found = access.get_own_phrase(request.user, pk)
    held = {"part": found.part, "checkpoint": found.checkpoint, "side": found.side}
    form = PhraseForm(
        {**held, "text": request.POST.get("text", "")} if request.method == "POST" else None, instance=found
    )
    if request.method == "POST" and form.is_valid():
        form.save()
        taken(request, _said(form, _("The phrase is changed.")))
        return redirect("phrases")
    return render(request, "desk/phrase.html", {"form": form, "phrase": found})


def _phrases(request: HttpRequest, pk: int) -> str:
    access.require_coach(request.user)
    return reverse("phrases")


@login_required
@form_stands_at(_phrases)
def delete_phrase(request: HttpRequest, pk: int) -> HttpResponse:
    access.get_own_phrase(request.user, pk).delete()
    messages.success(request, _("The phrase is deleted. What you wrote with it stays as it is."))
    return redirect("phrases")


@login_required
@never_cache
@require_safe
def phrases_list(request: HttpRequest) -> JsonResponse:
    """What the desk offers while the coach writes: kept phrases, then sentences of before."""
    coach = access.require_coach(request.user)
    return JsonResponse({"phrases": [asdict(one) for one in [*book.kept(coach), *book.offered(coach)]]})


def _said(form: PhraseForm, words: str) -> str:
    if not form.has_put_name:
        return words
    return words + " " + _("A player’s name in it became {name}: at the desk it is the name of whoever you write to.")


def _about(coach: User, form: PhraseForm) -> dict[str, object]:
    return {
        "form": form,
        "phrases": Phrase.objects.filter(coach=coach),
        "offered": book.offered(coach)[:SHOWN_OFFERS],
    }
