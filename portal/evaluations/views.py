"""The published evaluation: page, pictures, PDF, and the player's ticks."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from portal import access, media
from portal.evaluations import asking, practice, tasks, watching
from portal.evaluations.forms import AnswerForm, AskForm, TickForm
from portal.evaluations.models import Evaluation, What
from portal.evaluations.present import present
from portal.form_address import form_stands_at
from portal.intake.models import Submission


@login_required
@never_cache
@require_safe
def evaluation(request: HttpRequest, pk: UUID) -> HttpResponse:
    """One edition as the player reads it. Older editions stay readable and say that there is a newer one."""
    return page(request, access.get_evaluation(request.user, pk, shows=What.EVALUATION))


def page(
    request: HttpRequest, found: Evaluation, ask: AskForm | None = None, wrong: tuple[int, AnswerForm] | None = None
) -> HttpResponse:
    """The page; with a question, or an answer to one (its number beside it), that could not be taken as it was."""
    editions = list(found.submission.evaluations.defer("snapshot"))
    may_correct = access.submissions_reviewed_by(request.user).filter(pk=found.submission_id).exists()
    context = {
        "evaluation": found,
        "content": present(found.snapshot, lambda file: reverse("evaluation_picture", args=[found.pk, file])),
        "editions": editions,
        "newest": editions[0],
        "film": watching.film_of(found),
        "weeks": practice.weeks_of(found),
        "may_tick": _is_family(request, found.submission),
        "may_correct": may_correct,
        "questions": [
            (one, wrong[1] if wrong and wrong[0] == one.pk else AnswerForm(auto_id=AnswerForm.ids(one.pk)))
            for one in asking.of(found.submission)
        ],
        "ask": ask or AskForm(),
    }
    return render(request, "evaluations/evaluation.html", context)


def _is_family(request: HttpRequest, submission: Submission) -> bool:
    try:
        access.get_family_submission(request.user, submission.pk)
    except Http404:
        return False
    return True


@login_required
@require_safe
def picture(request: HttpRequest, pk: UUID, name: str) -> HttpResponseBase:
    """A marked-up frame of the edition: only the files that its snapshot names."""
    found = access.get_evaluation(request.user, pk, shows=What.PICTURES)
    if name not in {about["file"] for about in found.snapshot.get("pictures", [])}:
        raise Http404
    return media.serve(request, f"{found.folder}/{name}", "image/jpeg")


@login_required
@require_safe
def pdf(request: HttpRequest, pk: UUID) -> HttpResponseBase:
    """The PDF, once the worker has made it; until then 404, and the page does not link to it."""
    found = access.get_evaluation(request.user, pk, shows=What.PDF)
    return media.serve(request, found.pdf, "application/pdf", download_name=_file_name(found))


def _file_name(found: Evaluation) -> str:
    player = slugify(found.snapshot["player"]["first_name"]) or "player"
    return f"swing-{player}-{found.edition}.pdf"


def _page_of_plan(request: HttpRequest, pk: UUID) -> str:
    access.get_evaluation(request.user, pk, shows=None)
    return reverse("evaluation", args=[pk])


@login_required
@form_stands_at(_page_of_plan)
def tick(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The player (or a guardian for them) notes that a drill was done on a day, or takes it back. A script that
    asks for this part alone (`X-Part`) gets the drill's days, to put in place; everybody else comes back to the drill.
    """
    found = access.get_evaluation(request.user, pk, shows=None)
    access.get_family_submission(request.user, found.submission_id)
    form = TickForm(found, request.POST)
    if not form.is_valid():
        messages.warning(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
        return redirect("evaluation", pk)
    slug, day, is_done = form.cleaned_data["drill"], form.cleaned_data["day"], form.cleaned_data["done"]
    practice.tick(found, slug, day, is_done)
    if request.headers.get("X-Part") == "ticks":
        about = {"evaluation": found, "slug": slug, "week": practice.weeks_of(found)[slug]}
        return render(request, "evaluations/parts/ticks.html", about)
    if is_done:
        messages.success(request, _("Noted. Well done!"))
    return redirect(reverse("evaluation", args=[pk]) + f"#{slug}")


def _health_page(request: HttpRequest, pk: UUID) -> str:
    access.require_owner(request.user)
    return reverse("health_page")


@login_required
@form_stands_at(_health_page)
def pdf_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The owner lets a PDF that was given up be tried anew."""
    user = access.require_owner(request.user)
    if tasks.make_pdf_again(access.get_evaluation(user, pk, shows=None)):
        messages.success(request, _("The PDF is being made again. It takes a moment."))
    else:
        messages.warning(request, _("This PDF is not one that was given up any more; nothing was changed."))
    return redirect("health_page")
