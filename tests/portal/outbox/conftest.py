"""`mail_server(…)`: a mail server on loopback that the site sends through."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from typing import Any

import pytest

from tests.portal.outbox.peers import MailServer, Rude, running


@pytest.fixture
def smtp(settings: Any) -> Callable[[int], None]:
    """smtp(port): emails leave through this port of loopback, as EMAIL_URL would say."""

    def name(port: int) -> None:
        settings.OUTBOX_FORWARDS_TO = "portal.outbox.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
        settings.EMAIL_TIMEOUT = 1

    return name


@pytest.fixture
def mail_server(smtp: Callable[[int], None]) -> Iterator[Callable[..., Any]]:
    """mail_server(): one that takes everything; mail_server(Rude(silent)): another one. Named as the site's own."""
    with ExitStack() as stack:

        def start(peer: MailServer | Rude | None = None) -> Any:
            peer = stack.enter_context(running(peer or MailServer()))
            smtp(peer.port)
            return peer

        yield start
