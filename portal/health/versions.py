"""Which versions run, for a report of trouble."""

from __future__ import annotations

import platform
from importlib import metadata

PACKAGES = ("django", "celery", "mediapipe", "av", "opencv-python-headless", "numpy", "scipy", "weasyprint")


def versions() -> dict[str, str]:
    found = {"python": platform.python_version()}
    for package in PACKAGES:
        try:
            found[package] = metadata.version(package)
        except metadata.PackageNotFoundError:
            found[package] = "–"
    return found
