"""The queue only carries a wake-up call: which emails are to be sent stands in the database."""

from __future__ import annotations


def wake() -> None:
    """Ask the worker for mail to send what waits. May be lost or come twice: the sweep and the claim see to both."""
    from portal.outbox.tasks import send_waiting

    send_waiting.delay()
