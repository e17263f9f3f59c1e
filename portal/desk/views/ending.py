"""How a review ends: published, or with a request to film again."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from portal import access
from portal.desk import claims, drafts
from portal.desk.asking_again import film_again_words
from portal.desk.forms import FilmAgainForm, Version
from portal.desk.models import Review
from portal.desk.views.holding import at_desk, held_words
from portal.evaluations.models import Evaluation
from portal.evaluations.publish import NotPublished
from portal.evaluations.publish import publish as publish_review
from portal.form_address import form_stands_at
from portal.intake import mails
from portal.intake.models import Submission
from portal.intake.states import MoveNotAllowed, State, may_move
from portal.look.kept_words import taken
from portal.people.models import User


@login_required
@form_stands_at(at_desk)
def publish(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Make the draft an edition and tell the family. The page must have seen the newest version of the draft.

    Sent twice, the second finds the edition that the first has made.
    """
    submission = access.get_desk_submission(request.user, pk, shows=None)
    review = drafts.open_draft(submission)
    form = Version(request.POST)
    try:
        if problem := _not_yet(request, submission, review, form):
            raise NotPublished(problem)
        evaluation = publish_review(review, request.user)
    except (NotPublished, MoveNotAllowed) as problem:
        if made := _made_before(submission, review, form):
            messages.info(request, _("It is published; here is how the family sees it."))
            return redirect("evaluation", made.pk)
        messages.warning(request, str(problem))
        return redirect("desk", pk, "preview")
    messages.success(
        request, _("Published. %(name)s’s family gets an email now.") % {"name": submission.player.first_name}
    )
    return redirect("evaluation", evaluation.pk)


def _not_yet(request: HttpRequest, submission: Submission, review: Review, form: Version) -> str:
    """Why this cannot be published just now, or nothing."""
    if not claims.holds(submission, request.user):
        return _("Only who reviews it can publish it.")
    if not form.is_valid() or form.cleaned_data["version"] != review.version:
        return _("The draft was changed in another window. Look at the preview once more, then publish.")
    return " ".join(drafts.missing(review))


def _made_before(submission: Submission, review: Review, form: Version) -> Evaluation | None:
    """The edition that holds this very draft, when somebody else, or a second click, was quicker."""
    submission.refresh_from_db()
    if submission.state != State.PUBLISHED or not form.is_valid():
        return None
    return submission.evaluations.first() if form.cleaned_data["version"] == review.version else None


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def film_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Ask the family for a new clip, with the reason. Who does not hold the review is warned first and says so again."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    form = _film_again_form(request, submission, request.POST or None, film_again_words(submission))
    if request.method == "POST" and form.is_valid():
        try:
            _send_back(submission, form, request.user)
        except (MoveNotAllowed, claims.HeldByAnother) as problem:
            words = held_words(problem) if isinstance(problem, claims.HeldByAnother) else str(problem)
            messages.warning(request, words)
            submission.refresh_from_db()
            form = _film_again_form(request, submission, words=form.cleaned_data["words"])
        else:
            taken(request, _("%(name)s’s family has your words.") % {"name": submission.player.first_name})
            return redirect("queue")
    held = claims.HeldByAnother(submission) if _other_holder(request, submission) else None
    about = {
        "submission": submission,
        "form": form,
        "held_words": held_words(held) if held else "",
        "is_mine": claims.holds(submission, request.user),
        "may_ask": may_move(submission.state, State.FILM_AGAIN),
    }
    return render(request, "desk/film_again.html", about)


def _other_holder(request: HttpRequest, submission: Submission) -> User | None:
    is_held = submission.state == State.IN_REVIEW and not claims.holds(submission, request.user)
    return submission.reviewer if is_held else None


def _film_again_form(
    request: HttpRequest, submission: Submission, data: QueryDict | None = None, words: str = ""
) -> FilmAgainForm:
    begun = {"from_whom": submission.reviewer_id, "words": words}
    return FilmAgainForm(data, held_by=_other_holder(request, submission), initial=begun)


@transaction.atomic
def _send_back(submission: Submission, form: FilmAgainForm, user: User) -> None:
    words, from_whom = form.cleaned_data["words"].strip(), form.cleaned_data["from_whom"]
    claims.end(submission, State.FILM_AGAIN, from_whom or user.pk, film_again_words=words)
    # The draft is kept, and opens on the clip that comes.
    Review.objects.filter(submission=submission).update(clip=None)
    mails.film_again(submission)
