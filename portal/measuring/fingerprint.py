"""The hash of a clip, by which a measurement of the very same file is found. Reckoned by the worker, while nobody waits."""

from __future__ import annotations

import hashlib
import logging

from django.db import IntegrityError, transaction

from portal.intake.models import Clip

log = logging.getLogger(__name__)


def of(clip: Clip) -> str:
    """The hash of the original; reckoned and noted when it is not known yet."""
    if not clip.sha256:
        with clip.original.open("rb") as file:
            clip.sha256 = hashlib.file_digest(file, "sha256").hexdigest()
        _note(clip)
    return clip.sha256


def _note(clip: Clip) -> None:
    try:
        with transaction.atomic():
            Clip.objects.filter(pk=clip.pk).update(sha256=clip.sha256)
    except IntegrityError:
        # Its submission has the same file already: both stay, and the second is copied from the first.
        log.warning("Clip %s is in its submission twice.", clip.pk)
