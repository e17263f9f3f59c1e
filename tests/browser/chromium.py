"""Which Chromium drives the browser tests, and how it is started."""

from __future__ import annotations

import shutil
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"
PATIENCE_S = 90  # for whatever a page is to show: other tests, some of which measure film, run beside it
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
