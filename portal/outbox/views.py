"""The outbox: emails that the app wrote. For the owner; in a demo, which has no mail server, for anybody."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from portal import access
from portal.form_address import form_stands_at
from portal.outbox import by_hand
from portal.outbox.models import Email, EmailState
from portal.outbox.post_office import has_server
from portal.outbox.standing import server_trouble

ON_A_PAGE = 30


def _require_reader(request: HttpRequest) -> None:
    if not settings.DEMO:
        access.require_owner(request.user)


@never_cache
@require_safe
def outbox(request: HttpRequest) -> HttpResponse:
    _require_reader(request)
    chosen = request.GET.get("state", "")
    emails = Email.objects.filter(state=chosen) if chosen in EmailState.values else Email.objects.all()
    context = {
        "page": Paginator(emails, ON_A_PAGE).get_page(request.GET.get("page")),
        "filters": _filters(chosen),
        "demo": settings.DEMO,
        "has_server": has_server(),
        "trouble": server_trouble(),
    }
    return render(request, "outbox/outbox.html", context)


def _filters(chosen: str) -> list[dict[str, object]]:
    """All, and every state in which emails are: its name, how many, whether it is the chosen one."""
    counts = dict(Email.objects.order_by().values_list("state").annotate(Count("pk")))
    found: list[dict[str, object]] = [
        {"state": "", "label": _("all"), "count": sum(counts.values()), "chosen": chosen not in EmailState.values}
    ]
    for state in EmailState:
        if counts.get(state.value) or state.value == chosen:
            label, count = state.label, counts.get(state.value, 0)
            found.append({"state": state.value, "label": label, "count": count, "chosen": state.value == chosen})
    return found


@never_cache
@require_safe
def email(request: HttpRequest, pk: int) -> HttpResponse:
    _require_reader(request)
    shown = get_object_or_404(Email, pk=pk)
    access.note_email(request.user, shown)
    is_owner = getattr(request.user, "is_owner", False)
    context = {
        "email": shown,
        # What opens something is the addressee's alone, unless there is no other way to get at it.
        "hidden": shown.secret and shown.state != EmailState.KEPT,
        "may_again": is_owner and by_hand.may_again(shown),
        "may_give_up": is_owner and by_hand.may_give_up(shown),
    }
    return render(request, "outbox/email.html", context)


def _email(request: HttpRequest, pk: int) -> str:
    access.require_owner(request.user)
    return reverse("email", args=[get_object_or_404(Email, pk=pk).pk])


@login_required
@form_stands_at(_email)
def email_again(request: HttpRequest, pk: int) -> HttpResponse:
    """The owner lets an email be tried anew, for instance after the mail server was mended."""
    access.require_owner(request.user)
    if by_hand.again(get_object_or_404(Email, pk=pk)):
        messages.success(request, _("The email is tried now. Look again in a moment."))
    else:
        messages.warning(request, _("This email cannot be sent any more; nothing was changed."))
    return redirect("email", pk)


@login_required
@form_stands_at(_email)
def email_give_up(request: HttpRequest, pk: int) -> HttpResponse:
    access.require_owner(request.user)
    if by_hand.give_up(get_object_or_404(Email, pk=pk)):
        messages.success(request, _("The email is not tried any more."))
    else:
        messages.warning(request, _("This email does not wait any more; nothing was changed."))
    return redirect("email", pk)
