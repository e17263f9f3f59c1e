"""What a page says once it has written an email to somebody: only what is true."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext as _

from portal.outbox.standing import leaves_now


def say_invited(request: HttpRequest, email: str) -> None:
    """The invitation is on its way, or has to wait for our mail server."""
    if leaves_now():
        messages.success(request, _("The invitation is on its way to %(email)s.") % {"email": email})
    else:
        words = _(
            "The invitation to %(email)s is written, but our mail server takes no emails right now. It goes out once it does."
        )
        messages.warning(request, words % {"email": email})
