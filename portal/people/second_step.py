"""A second step at sign-in (an app's code or a passkey), asked of everybody who sees other people's children.

Whoever reads a coach's mail could otherwise sign in by a mailed code. Owner and coaches therefore set the second step
up before any page opens that shows children; families may, and need not. `SECOND_FACTOR=0` switches the asking off.
"""

from __future__ import annotations

from collections.abc import Callable

from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from portal import access
from portal.owner.naming import site_name
from portal.people.models import User

# The step itself, and pages that show nobody's children: whoever still has no second step gets there all the same.
OPEN_PREFIXES = ("account_", "mfa_", "first_start")
OPEN_PAGES = {"home", "awaited_email", "filming", "health", "privacy", "join_coach", "site", "test_mail"}
AFTER = "after_second_step"


def is_asked_of(user: User | AnonymousUser) -> bool:
    """Whether this person has to have a second step."""
    return settings.SECOND_FACTOR and access.is_coach(user)


def has_one(user: User) -> bool:
    """Recovery codes alone are no second step: they only stand in for one that is lost."""
    return steps_of(user).exclude(type=Authenticator.Type.RECOVERY_CODES).exists()


def steps_of(user: User):
    return Authenticator.objects.filter(user=user)


def forget(user: User) -> bool:
    """Take a lost second step away; the next sign-in leads to a new one. False where there was none."""
    return steps_of(user).delete()[0] > 0


class SecondStepMiddleware:
    """Leads owner and coaches without a second step to the page where they set it up."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: object) -> HttpResponse | None:
        if _is_open(request) or not is_asked_of(request.user) or has_one(request.user):  # type: ignore[arg-type]
            return None
        if request.method == "GET":
            request.session[AFTER] = request.get_full_path()
        return redirect("mfa_index")


def _is_open(request: HttpRequest) -> bool:
    name = (request.resolver_match.url_name if request.resolver_match else "") or ""
    return name in OPEN_PAGES or name.startswith(OPEN_PREFIXES)


class SecondStepAdapter(DefaultMFAAdapter):
    """The words of the second step, and the site's own name in the app and on the passkey."""

    error_messages = {
        **DefaultMFAAdapter.error_messages,
        "cannot_delete_authenticator": _("The second step stays: you see other people’s children here."),
        "cannot_generate_recovery_codes": _("Set up the second step first; recovery codes stand in for it."),
        "incorrect_code": _("That was not it. App codes change every half minute, and each recovery code works once."),
        "unverified_email": _("First we have to know that your address is yours. Sign out, and in again by code."),
    }

    def _get_site_name(self) -> str:
        return site_name()

    def can_delete_authenticator(self, authenticator: Authenticator) -> bool:
        """The last one stays with whom it is asked of; another one first, then the old one may go."""
        others = steps_of(authenticator.user).exclude(type=Authenticator.Type.RECOVERY_CODES)
        return not is_asked_of(authenticator.user) or others.exclude(pk=authenticator.pk).exists()

    def generate_authenticator_name(self, user: User, type: Authenticator.Type) -> str:
        number = steps_of(user).filter(type=type).count() + 1
        return gettext("Passkey %(number)d") % {"number": number}
