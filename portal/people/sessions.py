"""Sessions as Django has them, but the answer to a request whose session had ended leaves the browser's cookie alone.

A page that stays open when its session has ended goes on asking, for pictures say. Django answers each of those by deleting the
session's cookie; one that comes late, after its owner signed in once more in another window, deletes the new one.
"""

from __future__ import annotations

from django.contrib.sessions import middleware
from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers


class SessionMiddleware(middleware.SessionMiddleware):
    """The cookie of a session that had ended before the request stays where it is: it opens nothing."""

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        session = getattr(request, "session", None)
        if session is None or session.modified or not session.is_empty():  # modified: signing out has just emptied it
            return super().process_response(request, response)
        if session.accessed:
            patch_vary_headers(response, ("Cookie",))
        return response
