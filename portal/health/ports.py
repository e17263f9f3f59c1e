"""The port that the site listens on."""

from __future__ import annotations

import socket
import time

from django.core.exceptions import ImproperlyConfigured
from django.core.management.base import CommandError

from portal import env


def chosen(option: int | None) -> int:
    """The option, else PORT from the environment, else 8000."""
    try:
        port = option if option is not None else env.whole("PORT", 8000, least=1)
    except ImproperlyConfigured as error:
        raise CommandError(str(error)) from error
    if not 1 <= port <= 65535:
        raise CommandError(f"{port} is no port; use one between 1 and 65535.")
    return port


def refuse_if_taken(host: str, port: int) -> None:
    """Raise with words when somebody listens there already, or we may not."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except PermissionError:
            raise CommandError(
                f"Port {port} needs special rights. Choose one above 1024, for instance PORT=8000."
            ) from None
        except OSError:
            raise CommandError(
                f"Port {port} is in use: perhaps Cagenote runs already. Stop it, or choose another port, "
                f"for instance PORT={port + 1}."
            ) from None


def answers(host: str, port: int, seconds: float = 60.0) -> bool:
    """Wait until something listens there."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        with socket.socket() as probe:
            probe.settimeout(0.5)
            if probe.connect_ex(("127.0.0.1" if host == "0.0.0.0" else host, port)) == 0:
                return True
        time.sleep(0.1)
    return False
