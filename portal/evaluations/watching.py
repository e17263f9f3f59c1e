"""The family's own film on the page of an edition: which frames are shown, and where it stops at the coach's marks.

The edition says which swing of which clip; the frames themselves are the clip's stills and review copy, handed out as everywhere
(`clip_file`). Where the film has ended or was withdrawn there is nothing to watch, and the page says nothing of it.
"""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from portal.desk.models import Review
from portal.desk.overview import overview
from portal.desk.swings import frames_of, result_of, swing_of
from portal.evaluations.models import Evaluation
from portal.intake.models import Clip
from portal.measuring.models import Stage


def to_watch(review: Review, marked: list[int]) -> dict[str, Any] | None:
    """What an edition keeps of its film: clip, first and last frame, where the hitter is, whether it is shown
    lighter, and how many times it was slowed down.

    `marked` are the frames of this clip with pictures, the one thing's first: the swing that holds it is shown, else the one that
    was shown, else the whole clip.
    """
    clip = review.clip
    if clip is None or not frames_of(clip):
        return None
    swings = result_of(clip).get("swings", [])
    held = (one for frame in marked for one in swings if one["start_frame"] <= frame <= one["end_frame"])
    swing = next(held, None) or swing_of(review)
    first, last = (swing["start_frame"], swing["end_frame"]) if swing else (0, frames_of(clip) - 1)
    return {
        "clip": str(clip.pk),
        "first": first,
        "last": min(last, frames_of(clip) - 1),
        "width": result_of(clip)["clip"]["width"],
        "height": result_of(clip)["clip"]["height"],
        "hitter": overview(clip, swing)["hitter"],
        "lighter": review.sends_lighter(clip.pk),
        "slowed": result_of(clip).get("film", {}).get("speed_factor") or 1,
    }


def film_of(evaluation: Evaluation) -> dict[str, Any] | None:
    """What the page's player needs (static/js/evaluations/film.js); None where the film is not there (any more)."""
    held = evaluation.snapshot.get("film", {}).get("watch")
    if not held or evaluation.submission.film_ended_at is not None:
        return None
    there = Clip.objects.filter(pk=held["clip"], submission=evaluation.submission_id, measurement__stage=Stage.DONE)
    if not there.exists():
        return None
    files = reverse("clip_file", args=[held["clip"], "x"]).removesuffix("x")
    marks = [
        {
            "frame": picture["frame"],
            "src": reverse("evaluation_picture", args=[evaluation.pk, picture["file"]]),
            "alt": picture["alt"],
            "caption": picture["caption"],
        }
        for picture in evaluation.snapshot["pictures"]
        if picture.get("clip") == held["clip"] and held["first"] <= picture["frame"] <= held["last"]
    ]
    return {**held, "files": files, "marks": sorted(marks, key=lambda mark: mark["frame"])}
