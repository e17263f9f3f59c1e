"""The demo's own settings, put into the environment before Django reads it. Nothing of a real site may be touched by a demo."""

from __future__ import annotations

import os
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "var" / "demo"
LEFT_OUT = (
    "DATABASE_URL", "REDIS_URL", "MEDIA_ROOT", "EMAIL_URL", "SECRET_KEY", "SITE_URL", "MEDIA_ACCEL",
    "TRUSTED_PROXIES", "DEBUG",
)  # fmt: skip


def enter() -> None:
    """Forget what would lead to a real site; keep DATA_DIR, PORT and MEASURE_CLIPS where they are given."""
    for name in LEFT_OUT:
        os.environ.pop(name, None)
    os.environ["CAGENOTE_DEMO"] = "1"
    os.environ.setdefault("DATA_DIR", str(FOLDER))
    os.environ.setdefault("MEASURE_CLIPS", "2")
