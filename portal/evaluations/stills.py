"""One still of a measured clip, addressed by its frame index: the same picture that the desk showed."""

from __future__ import annotations

import io
import json

from django.core.files.storage import default_storage
from PIL import Image

from portal.measuring.models import Measurement


class NoStill(LookupError):
    """There is no still of this frame; the message names the frame and the frames there are."""


def still(measurement: Measurement, frame: int) -> Image.Image:
    """The RGB still of frame `frame` (0-based), as large as it was stored.

    Raises NoStill for a frame outside the packs. `measurement.products` names the folder that holds `stills.json` with
    {"packs": [{"file", "first", "last", "offsets"}]} and the packs it names.
    """
    return Image.open(io.BytesIO(jpeg_of(measurement, frame))).convert("RGB")


def jpeg_of(measurement: Measurement, frame: int) -> bytes:
    """The JPEG of frame `frame` as it was stored. Raises NoStill like `still`."""
    with default_storage.open(f"{measurement.products}/stills.json") as table:
        packs = json.load(table)["packs"]
    for pack in packs:
        if pack["first"] <= frame <= pack["last"]:
            return _cut(measurement.products, pack, frame - pack["first"])
    held = ", ".join(f"{pack['first']} to {pack['last']}" for pack in packs) or "none"
    raise NoStill(f"There is no still of frame {frame}; there are frames {held}.")


def _cut(folder: str, pack: dict, position: int) -> bytes:
    start, end = pack["offsets"][position : position + 2]
    with default_storage.open(f"{folder}/{pack['file']}", "rb") as file:
        file.seek(start)
        cut: bytes = file.read(end - start)
        return cut
