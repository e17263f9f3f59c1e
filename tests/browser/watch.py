"""Everything a browser complains about while a test drives a page, so that no test passes over a broken page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

from playwright.sync_api import ConsoleMessage, Page, Request

OWN_SCHEMES = ("blob", "data", "about")


class Watch:
    """Gathers console errors (refusals by the content security policy among them), uncaught exceptions and requests to
    anybody but the site. `allowing(pattern)` lets one expected complaint through."""

    def __init__(self, page: Page, site: str) -> None:
        self.complaints: list[str] = []
        self._site = urlsplit(site).netloc
        self._allowed: list[re.Pattern[str]] = []
        page.on("console", self._console)
        page.on("pageerror", lambda error: self._add(f"uncaught: {error}"))
        page.on("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self._add(f"console: {message.text} ({message.location.get('url', '')})")

    def _request(self, request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme not in OWN_SCHEMES and address.netloc != self._site:
            self._add(f"third party: {request.url}")

    def _add(self, complaint: str) -> None:
        if not any(pattern.search(complaint) for pattern in self._allowed):
            self.complaints.append(complaint)

    @contextmanager
    def allowing(self, pattern: str) -> Iterator[None]:
        """Let complaints that match the regular expression through while the block runs."""
        self._allowed.append(re.compile(pattern))
        try:
            yield
        finally:
            self._allowed.pop()
