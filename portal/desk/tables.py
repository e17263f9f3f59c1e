"""Where the frames of a clip lie in its packs and in its review copy: two tables that come with the desk's page."""

from __future__ import annotations

import json
from typing import Any

from django.core.files.storage import default_storage

from portal.measuring.models import Measurement

NAMES = {"stills": "stills.json", "samples": "review.samples.json"}
MOST_BYTES = 64 * 1024  # together; a frame has some 40, so these are half a minute


def tables(measurement: Measurement) -> dict[str, Any] | None:
    """Both tables by what they tell of, so that the desk waits for no answer of its own before its first frame; None where they are
    long or cannot be read: then the desk asks for them, and says what is wrong.
    """
    try:
        texts = {name: _read(f"{measurement.products}/{file}") for name, file in NAMES.items()}
        if sum(len(text) for text in texts.values()) > MOST_BYTES:
            return None
        return {name: json.loads(text) for name, text in texts.items()}
    except (OSError, ValueError):
        return None


def _read(name: str) -> bytes:
    """The file, or so much of it that it is seen to be long."""
    with default_storage.open(name, "rb") as file:
        text: bytes = file.read(MOST_BYTES + 1)
        return text
