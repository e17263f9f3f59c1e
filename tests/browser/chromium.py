"""Which Chromium drives the browser tests, and how it is started."""

from __future__ import annotations

import os
import shutil
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

# The first has no windows, tabs and lists of its own behind the page under test, so a page takes half the work; the engine is the same.
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
PATIENCE_S = 90  # for whatever a page is to show: other tests, some of which measure film, run beside it
HANGS_S = 360  # a test that takes longer hangs; the longest takes two minutes
# Chromium heeds the last such list alone, so what Playwright switches off stands here too; `test_house.py` compares.
PLAYWRIGHTS = (
    "AimEnabled",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "TcpPortRandomizationWin",
    "ThirdPartyStoragePartitioning",
    "msEdgeUpdateLaunchServicesPreferredVersion",
    "msForceBrowserSignIn",
)
# Lists under an address bar that nobody sees, two pages in a process of their own for each window, and a process ahead of need:
# half a second of CPU for every page that a test opens, and a tenth of a core while it stands.
UNSEEN = ("SpareRendererForSitePerProcess", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup", "WebUIOmniboxPopup")
# No sandbox, because CI runs as root; the rest keeps the browser from talking to anybody but the page under test.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--font-render-hinting=none",  # of the headless shell, which would else set words wider than a window does
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--disable-features={','.join(PLAYWRIGHTS + UNSEEN)}",
]


def find_chromium() -> str | None:
    """The path of an installed Chromium or Chrome, or None."""
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    return found or (MAC if Path(MAC).exists() else None)


class Chromium:
    """The run's one browser: started when first asked for, and anew after it was ended.

    Some calls of Playwright wait without an end. Where the browser under one of them is killed, the call fails in its place: the test
    tells where it hung and has its second go, and the tests after it go on.
    """

    def __init__(self, playwright: Any, program: str) -> None:
        self._playwright, self._program = playwright, program
        self._browser: Any = None
        self.pid = 0

    def running(self) -> Any:
        """Playwright's browser."""
        if self._browser is None or not self._browser.is_connected():
            self._browser = self._playwright.chromium.launch(executable_path=self._program, args=FLAGS)
            processes = self._browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")["processInfo"]
            self.pid = next(process["id"] for process in processes if process["type"] == "browser")
        return self._browser

    def close(self) -> None:
        if self._browser is not None and self._browser.is_connected():
            self._browser.close()

    @contextmanager
    def ended_after(self, seconds: float) -> Iterator[None]:
        """Kill the browser when what follows takes longer than that."""
        timer = threading.Timer(seconds, os.kill, (self.pid, signal.SIGKILL))
        timer.start()
        try:
            yield
        finally:
            timer.cancel()
