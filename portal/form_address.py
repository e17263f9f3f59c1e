"""Addresses that take a form and show nothing.

Who comes to one by GET was led there by the sign-in, after their session had ended in the middle of the form: they go on
to the page where the form stands, and find what they typed (static/js/kept_words.js), instead of a 405.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase, HttpResponseRedirect
from django.views.decorators.http import require_http_methods

from portal import other_account

View = Callable[..., HttpResponseBase]


def form_stands_at(page: Callable[..., str]) -> Callable[[View], View]:
    """Takes posts; everybody else is led to `page`, which is called as the view is and looks up access as it does. So is a form from
    a page of somebody else than who is signed in by now.
    """

    def around(view: View) -> View:
        @wraps(view)
        def either(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if request.method == "POST" and not other_account.is_of_another(request):
                return view(request, *args, **kwargs)
            return HttpResponseRedirect(page(request, *args, **kwargs))

        return require_http_methods(["GET", "HEAD", "POST"])(either)

    return around
