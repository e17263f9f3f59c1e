"""Two swings of one player side by side: which ones there are, and what their readings say of each other."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from portal import access
from portal.desk.models import Review
from portal.desk.page import clip_about
from portal.desk.swings import Swing, result_of
from portal.intake.models import Clip
from portal.look.words import plus_minus, with_unit
from portal.measuring.change import CHANGED, NOT_COMPARABLE, NOT_SEEN, change
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, VIEW_NAMES
from portal.people.models import User


def others(user: User, review: Review, shown: Swing) -> list[dict[str, str]]:
    """Swings to compare with, the nearest first: of this clip, of the submission's other clips, of earlier clips of the player, as
    far as this coach reviews where they were sent. A list: names and dates, no numbers.
    """
    submissions = access.submissions_reviewed_by(user).filter(player=review.submission.player_id)
    clips = Clip.objects.filter(submission__in=submissions, measurement__stage="done").select_related("measurement")
    order = sorted(
        clips,
        key=lambda clip: (
            clip.pk != review.clip_id,
            clip.submission_id != review.submission_id,
            -clip.created_at.timestamp(),
        ),
    )
    return [
        {"value": f"{clip.pk}:{swing['index']}", "words": _words(clip, swing, review)}
        for clip in order
        for swing in result_of(clip).get("swings", [])
        if not (clip.pk == review.clip_id and swing["index"] == shown["index"])
    ]


def _words(clip: Clip, swing: Swing, review: Review) -> str:
    about = {
        "n": swing["index"] + 1,
        "day": date_format(timezone.localtime(clip.created_at).date(), "F j, Y"),
        "view": _(VIEW_NAMES[result_of(clip)["film"].get("view") or "unknown"]),
    }
    if clip.pk == review.clip_id:
        return _("this clip, swing %(n)d") % about
    if clip.submission_id == review.submission_id:
        return _("sent with it: %(name)s, from %(view)s, swing %(n)d") % {"name": clip.name, **about}
    return _("%(day)s, from %(view)s, swing %(n)d") % about


def side_of(clip: Clip, swing: Swing) -> dict[str, Any]:
    """What the browser draws one side from."""
    film = result_of(clip)["film"]
    return {
        "clip": clip_about(clip, swing),
        "instants": {name: one["frame"] for name, one in swing["instants"].items()},
        "hand": film.get("hand"),
        "speed": film.get("speed_factor") or 1,
    }


def rows(this: tuple[Clip, Swing], other: tuple[Clip, Swing]) -> list[dict[str, str]]:
    """Every checkpoint that either side holds: both readings in words, and what they say of each other."""
    results = [result_of(clip) for clip, _swing in (this, other)]
    held = [{one["checkpoint"]: one for one in swing["readings"]} for _clip, swing in (this, other)]
    why = _apart(*results)
    view = results[0]["film"].get("view", "unknown") if this[0].pk == other[0].pk else ""
    found = []
    for entry in CHECKPOINTS:
        here, there = (side.get(entry.id) for side in held)
        if entry.by_eye or not (here or there):
            continue
        told = change(here, there, view)
        verdict = NOT_COMPARABLE if why else told["verdict"]
        found.append(
            {
                "instant": entry.instant, "at": _(INSTANT_NAMES[entry.instant]), "name": _(entry.name),
                "this": _value(here), "other": _value(there), "verdict": verdict,
                "says": _says(verdict, told, entry.unit), "why": why or _unread(here, there),
            }
        )  # fmt: skip
    return sorted(found, key=lambda row: row["verdict"] == NOT_COMPARABLE)  # what tells something first


def _apart(this: dict[str, Any], other: dict[str, Any]) -> str:
    """Why two clips tell nothing of a change; "" where they may."""
    if this["film"].get("hand") != other["film"].get("hand"):
        return _("one swing is from the right side, the other from the left")
    methods = [(result.get("read_with") or {}).get("method") for result in (this, other)]
    return _("the two clips were read by different methods") if methods[0] != methods[1] else ""


def _unread(*readings: dict[str, Any] | None) -> str:
    return next((str(one["reason"]) for one in readings if one and one["value"] is None and one["reason"]), "")


def _value(reading: dict[str, Any] | None) -> str:
    if not reading or reading["value"] is None:
        return "–"
    return plus_minus(reading["value"], reading["interval"], reading["unit"])


def _says(verdict: str, told: dict[str, Any], unit: str) -> str:
    if verdict == CHANGED:
        by = with_unit(float(_rounded(told["difference"])), unit, signed=True)
        return _("changed: %(by)s") % {"by": by}
    if verdict == NOT_SEEN:
        return _("no change we can see (%(smallest)s or more would show)") % {
            "smallest": with_unit(float(_rounded(told["smallest"])), unit)
        }
    return _("not comparable")


def _rounded(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 1 else f"{value:.2f}"
