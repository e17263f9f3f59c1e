"""The files made from a clip. Each measurement puts them into a folder of its own, and the row that names the folder is
written last: nobody ever meets half of them, and the loser of two workers removes only its own.
"""

from __future__ import annotations

import re
from pathlib import Path

from django.core.files import File
from django.core.files.storage import default_storage

from portal.evaluations.models import What
from portal.intake import erase
from portal.intake.models import Clip
from portal.measuring.models import Measurement

TRACKS = "tracks.npz"
KINDS = {
    ".mp4": "video/mp4",
    ".json": "application/json",
    ".jpg": "image/jpeg",
    ".pack": "application/octet-stream",
    ".flac": "audio/flac",
}
SHOWN = re.compile(
    r"review\.mp4|review\.samples\.json|sound\.flac|stills\.json|stills-\d{1,6}-\d{1,6}\.pack|poster\.jpg"
    r"|(?:instant|thumb)-\d{1,3}-[a-z_]{1,20}\.jpg",
    re.ASCII,
)


def is_shown(name: str) -> bool:
    """Whether a file of this name may ever be handed to a browser. The original and the tracks may not."""
    return SHOWN.fullmatch(name) is not None


def what_is(name: str) -> What:
    """What of the child a file of this name shows: the moving film with its sound, frame after frame, or single pictures."""
    if name.startswith(("review.", "sound.")):
        return What.FILM
    return What.FRAMES if name.startswith("stills") else What.PICTURES


def kind_of(name: str) -> str:
    return KINDS[Path(name).suffix]


def folder_for(clip: Clip, token: str) -> str:
    """Where the worker with this claim puts what it makes."""
    return f"{clip.folder}/{token[:12]}"


def put(source: Path, folder: str) -> None:
    """Store the products and the tracks from `source`, as the runner left them, under `folder`."""
    made = [path for path in sorted((source / "products").iterdir()) if is_shown(path.name)]
    for path in [*made, source / TRACKS]:
        with path.open("rb") as file:
            default_storage.save(f"{folder}/{path.name}", File(file))


def copy(measurement: Measurement, folder: str) -> None:
    """Store another clip's products once more under `folder`: each clip owns its files and can be deleted alone."""
    for name in default_storage.listdir(measurement.products)[1]:
        with default_storage.open(f"{measurement.products}/{name}", "rb") as file:
            default_storage.save(f"{folder}/{name}", file)


def remove_others(clip: Clip, folder: str) -> None:
    """Delete what former measurements, and workers that were killed, left in the clip's place. None is fine: the clip
    may be withdrawn in the moment after its measuring ended.
    """
    try:
        names = default_storage.listdir(clip.folder)[0]
    except FileNotFoundError:
        return
    for name in names:
        if f"{clip.folder}/{name}" != folder:
            remove(f"{clip.folder}/{name}")


def remove_all_of_gone(clip: Clip) -> None:
    """Delete the clip's whole place when its row is gone: what was withdrawn while it was measured leaves nothing, not
    even what a worker wrote after the withdrawal had deleted everything.
    """
    if not Clip.objects.filter(pk=clip.pk).exists():
        erase.delete_folder(clip.folder)


def remove(folder: str) -> None:
    """Delete a measurement's folder; one that is not there is fine."""
    try:
        names = default_storage.listdir(folder)[1]
    except FileNotFoundError:
        return
    for name in names:
        default_storage.delete(f"{folder}/{name}")
    default_storage.delete(folder)
