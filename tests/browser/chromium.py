"""Which Chromium drives the browser tests, and how it is started."""

from __future__ import annotations

import shutil
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
PATIENCE_S = 90  # for whatever a page is to show: other tests, some of which measure film, run beside it
# No sandbox, because CI runs as root; the rest keeps the browser from talking to anybody but the page under test.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def find_chromium() -> str | None:
    """The path of an installed Chromium or Chrome, or None."""
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    return found or (MAC if Path(MAC).exists() else None)
