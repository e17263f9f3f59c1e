"""Changes that wait in a browser go out when they can, whoever is signed in there by then: each names the account of its page.

A coach's page may stay open in one window while another coach signs in beside it: what the first one did is never taken
as the other's. (static/js/desk/line.js sends the account and waits; static/js/unsent.js keeps the change for whose it is.)
"""

from __future__ import annotations

from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _


def is_of_another(request: HttpRequest) -> bool:
    """Whether what came is of a page of another account than the session's: by its header, or by the field `account` of a form."""
    whose = request.headers.get("X-Account", "") or request.POST.get("account", "")
    return bool(whose) and whose != str(request.user.pk)


def refusal(request: HttpRequest) -> JsonResponse | None:
    """The answer where the page belongs to another account than the session; None where they agree or none is named."""
    if not is_of_another(request):
        return None
    words = _(
        "Not saved: somebody else is signed in here now. Your changes are kept in this browser until you sign in again."
    )
    return JsonResponse({"words": words, "code": "other_account"}, status=401)
