"""What a browser keeps of our pages: nothing. A page or a picture of a child is gone with the window, and after signing out
neither "back" nor the cache shows it. (static/js/back.js looks after pages that a browser holds whole, for "back".)

Static files are answered before this and may be kept for good; a view may say `Cache-Control: public` for what is nobody's.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib.auth.signals import user_logged_out
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponseBase

from portal import quiet_logs

# Clear-Site-Data; cookies stay: the theme is one, and the session's is deleted by itself.
FORGET = '"cache", "storage"'
# Where the page itself has erased what is this account's, because another's unsent work lies beside it
# (static/js/signing_out.js).
FORGET_BUT_OTHERS = '"cache"'


@receiver(user_logged_out)
def remember_that_they_left(request: HttpRequest | None, **kwargs: Any) -> None:
    if request is not None:
        request.has_signed_out = True  # type: ignore[attr-defined]


class PrivatePages:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        kept = response.get("Cache-Control", "")
        if "no-store" not in kept and "public" not in kept:
            response["Cache-Control"] = "private, no-store"
        if getattr(request, "has_signed_out", False):
            response["Clear-Site-Data"] = FORGET_BUT_OTHERS if request.POST.get("others") else FORGET
        if quiet_logs.holds_a_secret(request.get_full_path()):
            # Not "no-referrer": browsers then send no Origin with a form either, and Django refuses the form.
            response["Referrer-Policy"] = "strict-origin"
        return response
