"""What a page says once it has written an email to somebody: only what is true."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from portal.outbox.post_office import has_server
from portal.outbox.standing import leaves_now

# What every page says to the owner of a site without a mail server, in the same words.
NO_SERVER = gettext_lazy(
    "No email leaves this machine, for no mail server is named. Set EMAIL_URL (README.md shows how) and start Cagenote again."
)


def say_invited(request: HttpRequest, email: str) -> None:
    """The invitation is on its way, has to wait for our mail server, or does not go out by itself as none is named."""
    if leaves_now():
        messages.success(request, _("The invitation is on its way to %(email)s.") % {"email": email})
    elif has_server():
        words = _(
            "The invitation to %(email)s is written, but our mail server takes no emails right now. It goes out once it does."
        )
        messages.warning(request, words % {"email": email})
    else:
        _say_kept(request, email)


def _say_kept(request: HttpRequest, email: str) -> None:
    """Nothing sends it: its link can be read in the outbox, by the owner or in a demo by anybody, and given by hand."""
    about = {"email": email}
    if settings.DEMO:
        words = _(
            "The invitation to %(email)s is written. In this demo no email leaves the machine: the outbox shows it."
        )
        messages.success(request, words % about)
        return
    if getattr(request.user, "is_owner", False):
        words = _(
            "The invitation to %(email)s is written, but does not go out by itself, for no mail server is named. "
            "Give its link by hand: the outbox shows it for a day."
        )
    else:
        words = _(
            "The invitation to %(email)s is written, but this site has no mail server yet, so it does not go out by itself. "
            "Tell the owner of this site, who can give you its link."
        )
    messages.warning(request, words % about)
