"""Asking the coach about an evaluation, and the coach's answer. Both come back to the questions on its page."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _

from portal import access
from portal.evaluations import asking
from portal.evaluations.forms import AnswerForm, AskForm
from portal.evaluations.models import What
from portal.evaluations.views import page
from portal.form_address import form_stands_at
from portal.look.kept_words import TAKEN, taken


def _questions(request: HttpRequest, pk: UUID, question: int = 0) -> str:
    """Where both forms stand, for who may see it."""
    access.get_evaluation(request.user, pk, shows=None)
    return _address(pk)


@login_required
@form_stands_at(_questions)
def ask(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A question of the family's."""
    found = access.get_evaluation_to_ask(request.user, pk)
    form = AskForm(request.POST)
    if not form.is_valid():
        return _shown(request, pk, form)
    try:
        asking.ask(found, access.require_person(request.user), form.cleaned_data["words"])
    except asking.TooMany as why:
        form.add_error("words", str(why))
        return _shown(request, pk, form)
    taken(request, _("Your question is with your coach. The answer stands here, and you get it by email."))
    return _back(pk)


@login_required
@form_stands_at(_questions)
def answer(request: HttpRequest, pk: UUID, question: int) -> HttpResponse:
    """A coach's answer. Where it cannot be taken, the page shows it again, and the look is noted as any other."""
    asked = access.get_question_to_answer(request.user, pk, question)
    form = AnswerForm(request.POST, auto_id=AnswerForm.ids(asked.pk))
    if not form.is_valid():
        found = access.get_evaluation(request.user, pk, shows=What.EVALUATION)
        return page(request, found, wrong=(asked.pk, form))
    try:
        asking.answer(asked, access.require_person(request.user), form.cleaned_data["words"])
    except asking.AnsweredBefore:
        messages.warning(
            request,
            _("This question was answered just now, so yours was not sent. Here is what was said."),
            extra_tags=TAKEN,  # it has no place to stand in any more
        )
    else:
        taken(request, _("Your answer is sent."))
    return _back(pk)


def _shown(request: HttpRequest, pk: UUID, form: AskForm) -> HttpResponse:
    """The page again, with the question as it was typed and why it was not taken."""
    return page(request, access.get_evaluation(request.user, pk, shows=What.EVALUATION), ask=form)


def _back(pk: UUID) -> HttpResponse:
    return redirect(_address(pk))


def _address(pk: UUID) -> str:
    return reverse("evaluation", args=[pk]) + "#questions"
