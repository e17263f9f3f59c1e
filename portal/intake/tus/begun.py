"""Uploads that broke off, as their family reads of them."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from portal.intake.clips import TAKES_CLIPS
from portal.intake.models import Submission, Upload
from portal.intake.tus import uploads


def of(submission: Submission) -> list[dict[str, Any]]:
    """Each upload that can be gone on with, the newest first, in the words of static/js/intake/begun.js."""
    if submission.state not in TAKES_CLIPS:
        return []
    return [_told(upload, offset) for upload in submission.uploads.all() if (offset := _offset(upload))]


def _offset(upload: Upload) -> int:
    """How many bytes are here; 0 where there is nothing to go on with."""
    if upload.clip_id is not None:
        return 0
    return uploads.offset(upload)


def _told(upload: Upload, offset: int) -> dict[str, Any]:
    return {
        "url": reverse("upload", args=[upload.pk]),
        "name": upload.name,
        "size": upload.size,
        "mark": upload.mark,
        "percent": 100 * offset // upload.size,
    }
