"""`python -m portal.web --host HOST --port PORT`: the portal, until SIGTERM or SIGINT."""

from __future__ import annotations

import argparse
import logging
import os
import resource
import signal
from contextlib import suppress
from pathlib import Path

MOST_FILES = 8192  # a line and, with a body, its file


def main() -> None:
    """Import the portal, listen, serve."""
    parser = argparse.ArgumentParser(prog="python -m portal.web", description=__doc__)
    parser.add_argument("--host", default="127.0.0.1")
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--threads", type=int, default=8, help="how many requests are answered at the same time")
    asked = parser.parse_args()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    from portal.web.server import Site
    from portal.wsgi import application

    _allow_files()
    logging.getLogger("waitress").setLevel(logging.WARNING)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    _import_pages()
    site = Site(application, _rules(), asked.host, asked.port, asked.threads)
    site.stop_at([signal.SIGTERM, signal.SIGINT])
    site.run()


def _rules():
    from django.conf import settings

    from portal.web import leave
    from portal.web.server import Rules

    return Rules(
        Path(settings.FILE_UPLOAD_TEMP_DIR), leave.largest(), leave.largest_of_anybody(), leave.ask, settings.TRUSTED_PROXIES,
        settings.LINES_PER_ADDRESS,
    )  # fmt: skip


def _import_pages() -> None:
    """Before anybody waits for one."""
    from django.urls import get_resolver

    len(get_resolver().url_patterns)


def _allow_files() -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    most = MOST_FILES if hard == resource.RLIM_INFINITY else min(MOST_FILES, hard)
    if soft < most:
        with suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))


if __name__ == "__main__":
    main()
