"""The embedded set: everything that one machine needs, as recipes for the supervisor."""

from __future__ import annotations

import signal
import sys
from datetime import timedelta

from django.conf import settings
from django.db import Error, close_old_connections
from django.utils import timezone

from portal.health import bundled_redis, state
from portal.health.child import Recipe
from portal.health.models import Part

GRACE_S = 120.0  # from the start of a worker until its first sign of life is missed
SILENCE = timedelta(seconds=120)
PARTS = {"worker": Part.WORKER, "measurer": Part.MEASURER, "mailer": Part.MAILER}


def recipes(host: str, port: int) -> list[Recipe]:
    queue = [Recipe("queue", bundled_redis.command(), bundled_redis.prepare_socket)] if settings.EMBEDDED_REDIS else []
    return [*queue, _worker(), _measurer(), _mailer(), _beat(), _web(host, port)]


def _worker() -> Recipe:
    """PDFs and signs of life: quick work, never behind a film."""
    return _celery_worker("worker", "celery")


def _measurer() -> Recipe:
    """So many clips at a time as MEASURE_CLIPS says; one alone already uses most of two cores."""
    return _celery_worker("measurer", "measuring", settings.MEASURE_CLIPS)


def _mailer() -> Recipe:
    """Emails alone: a code leaves at once, whatever else is at work, and a mail server that says nothing holds up only mail."""
    return _celery_worker("mailer", "mail")


def _celery_worker(name: str, queue: str, at_a_time: int = 1) -> Recipe:
    """SIGQUIT lets a task five more seconds and then gives it back; SIGTERM would wait for its end."""
    command = _celery(
        "worker", "-n", f"{name}@%h", "-Q", queue, "-c", str(at_a_time), "--without-mingle", "--without-gossip"
    )
    return Recipe(name, command, patience_s=15, stop_signal=signal.SIGQUIT)


def _beat() -> Recipe:
    return Recipe("beat", _celery("beat", "--pidfile", ""))


def _celery(kind: str, *options: str) -> list[str]:
    calm = ["-W", "ignore:You're running the worker with superuser privileges"]
    return [sys.executable, *calm, "-m", "celery", "-q", "-A", "portal", kind, *options, "--loglevel", "warning"]


def _web(host: str, port: int) -> Recipe:
    command = [sys.executable, "-m", "portal.web", "--host", host, "--port", str(port)]
    return Recipe("web", command)


def is_silent(name: str, age_s: float) -> bool:
    """Whether a worker that had time to show itself has not. A database that does not answer says nothing about it."""
    if name not in PARTS or age_s < GRACE_S:
        return False
    close_old_connections()
    try:
        at = state.last_sign(PARTS[name])
    except Error:
        return False
    return at is None or timezone.now() - at > SILENCE
