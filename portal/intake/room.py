"""Room on the disk: asked for before a clip is taken, for the clip and for all that is made of it.

Measured on the films of tests/films/out: review copy and stills come to about 0.1 MB for each frame (22 to 36 MB for 230 to
350 frames), whatever the clip's own size. A phone's own film has 25 to 35 kB a frame, so what is made of it is three to
four times as large; a messenger's small copy makes many times its size, and little all the same. So four times, and at
least 60 MB; and that twice, because the worker holds it once more in its workplace while it is put into the storage.

A clip is at most two minutes long (analysis/watch/container.py), so no clip makes more than 3 GB.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from django.conf import settings

from portal.health import notices
from portal.intake import receiving
from portal.intake.models import Clip, Upload
from portal.measuring.models import RUNNING, Stage
from portal.outbox import emails

MEGABYTE = 1024 * 1024
MADE_OF_IT = 4  # times its size
LEAST_MADE, MOST_MADE = 60 * MEGABYTE, 3000 * MEGABYTE
AS_GOOD_AS_FULL = 30 * MEGABYTE
USUAL_CLIP = 60 * MEGABYTE  # a swing or three, as a phone films them


def free() -> int:
    """Bytes that are free where the least are: the storage's disk, or that of the data."""
    return min(shutil.disk_usage(_there(folder)).free for folder in (settings.MEDIA_ROOT, settings.DATA_DIR))


def is_as_good_as_full() -> bool:
    """Whether whatever fails just now may well have failed for want of room."""
    return free() < AS_GOOD_AS_FULL


def made_of(size: int) -> int:
    """How many bytes measuring a clip of this size may leave."""
    return min(max(MADE_OF_IT * size, LEAST_MADE), MOST_MADE)


def promised() -> int:
    """What the clips that are on their way or wait for a worker still come to need."""
    begun = Upload.objects.filter(clip=None).values_list("size", flat=True)
    waiting = Clip.objects.filter(measurement__stage__in=[Stage.WAITING, *RUNNING]).values_list("size", flat=True)
    return sum(size + made_of(size) for size in begun) + sum(map(made_of, waiting))


def is_there_for(size: int) -> bool:
    """Whether a new clip of this size can be kept and measured beside all that was promised before."""
    return free() - promised() >= size + 2 * made_of(size) + settings.DISK_RESERVE_BYTES


def is_there_to_measure(size: int) -> bool:
    """Whether a clip that is here can be measured now."""
    return free() >= 2 * made_of(size) + AS_GOOD_AS_FULL


def require_for(size: int) -> None:
    """Refuse a clip for which there is no room, in words that it is our trouble."""
    if not is_there_for(size):
        raise receiving.disk_full()


def tell_owner() -> None:
    """Write to the owner that the disk is full; once a day."""
    notices.tell_owners("disk_full", free_mb=free() // MEGABYTE, link=emails.link_to("health_page"))


def _there(folder: str | Path) -> Path:
    """The folder, or the first above it that exists."""
    path = Path(folder)
    return next(one for one in (path, *path.parents) if one.exists())
