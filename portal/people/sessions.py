"""Sessions as Django has them, but the answer to a request whose session had ended leaves the browser's cookie alone.

A page that stays open when its session has ended goes on asking, for pictures say. Django answers each of those by deleting the
session's cookie, and so it does for the request at which a session ends because the password was changed elsewhere; an answer that
comes late, after its owner signed in once more in another window, deletes the new one. Only who signs out is told to drop it.
"""

from __future__ import annotations

from django.contrib.sessions import middleware
from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers


class SessionMiddleware(middleware.SessionMiddleware):
    """The cookie of a session that has ended stays where it is, but for signing out: it opens nothing."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        session = getattr(request, "session", None)
        if session is None or not session.is_empty() or getattr(request, "has_signed_out", False):  # private_pages.py
            return super().process_response(request, response)
        if session.accessed:
            patch_vary_headers(response, ("Cookie",))
        return response
