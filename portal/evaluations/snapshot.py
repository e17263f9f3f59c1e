"""What an edition holds: everything that the page and the PDF show, in words and numbers of the day it was published.

Nothing in it refers to a row that can change later. The pictures are named by file; their bytes are made beside it.
"""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from portal.desk import counting
from portal.desk.doubts.draft import draft_of
from portal.desk.models import Assignment, MarkUp, Rating, Review
from portal.desk.swings import frames_of, place_of, result_of
from portal.drills.cautions import cautions
from portal.drills.diagram_svg import PAGE, PRINT, described, drawing
from portal.drills.set_up import completed, in_words
from portal.evaluations.reasons import reasons
from portal.evaluations.telling import sentence_of
from portal.evaluations.watching import to_watch
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, VIEW_NAMES, Checkpoint, missed
from portal.people.models import User

SCHEMA = 1
MARKS = 2  # of a picture: 1, or none, drew what is seen in the blue of the body
BY_ID = {entry.id: entry for entry in CHECKPOINTS}


def build(review: Review, coach: User | None, edition: int) -> dict[str, Any]:
    """The snapshot of this draft as edition number `edition` by `coach`."""
    submission = review.submission
    result = result_of(review.clip)
    points = _points(review, result)
    shown = shown_markups(review)
    return {
        "schema": SCHEMA,
        "edition": edition,
        "published_on": timezone.localdate().isoformat(),
        "language": get_language() or "en",
        "coach": str(coach) if coach else "",
        "camp": submission.camp.name,
        "player": _player(review, result),
        "film": {
            **_film(review, result),
            "watch": to_watch(review, [m.frame for m in shown if m.clip_id == review.clip_id]),
        },
        "greeting": review.greeting.strip(),
        "good": [sentence.strip() for sentence in review.good if sentence.strip()],
        "thing": _thing(review, points),
        "closing": review.closing.strip(),
        "pictures": [_picture(number, markup, review) for number, markup in enumerate(shown, start=1)],
        "points": points,
        "plan": _plan(review, _hits(review, result)),
    }


def shown_markups(review: Review) -> list[MarkUp]:
    """The marked-up frames that go into the evaluation, the one thing's first. Of a frame that its clip has not (any
    more) there is no picture, and nobody could have drawn on it.
    """
    chosen = review.markups.filter(in_evaluation=True).select_related("clip__measurement")
    there = [markup for markup in chosen if markup.frame < frames_of(markup.clip)]
    return sorted(there, key=lambda markup: (not markup.for_thing, markup.frame))


def _hits(review: Review, result: dict[str, Any]) -> str:
    """The side that this swing was hit from: what the film shows, else what the family said."""
    hand = result.get("film", {}).get("hand")
    return hand or ("left" if review.submission.player.hits == "left" else "right")


def _player(review: Review, result: dict[str, Any]) -> dict[str, Any]:
    player = review.submission.player
    return {"first_name": player.first_name, "name": str(player), "hits": _hits(review, result)}


def _film(review: Review, result: dict[str, Any]) -> dict[str, Any]:
    film = result.get("film", {})
    """`counted` swings of all `swings` are behind the numbers; `swing` is the place of the one shown, `measured` of the one
    that counts where only one does.
    """
    swing, swings = place_of(review)
    every, counted = result.get("swings", []), counting.counted(review)
    return {
        "swing": swing,
        "swings": swings,
        "counted": len(counted),
        "measured": every.index(counted[0]) + 1 if len(counted) == 1 else None,
        "fps": film.get("fps"),
        "view": _(VIEW_NAMES.get(film.get("view"), "")) if film.get("view") else "",
        "read_with": review.clip.measurement.read_with if review.clip else "",
    }


def _points(review: Review, result: dict[str, Any]) -> list[dict[str, Any]]:
    """Every checkpoint that was read or rated, in the order of the walk; the numbers are the clip's."""
    readings = counting.readings_of(review)
    ratings = {rating.checkpoint: rating for rating in review.ratings.all()}
    return [
        _point(entry, readings.get(entry.id, {}), ratings.get(entry.id), review.thing_checkpoint == entry.id)
        for entry in CHECKPOINTS
        if entry.id in readings or entry.id in ratings
    ]


def _point(entry: Checkpoint, reading: dict[str, Any], rating: Rating | None, is_thing: bool) -> dict[str, Any]:
    call = "coach's eye" if entry.by_eye else reading.get("call", "not readable")
    return {
        "checkpoint": entry.id,
        "name": _(entry.name),
        "instant": _(INSTANT_NAMES[entry.instant]),
        "why": _(entry.why),
        "value": reading.get("value"),
        "unit": reading.get("unit", entry.unit),
        "interval": reading.get("interval"),
        "band": reading.get("band"),
        "own_band": bool(reading.get("own_band")),
        "scale": None if entry.by_eye else reading.get("scale"),
        "each": [one["value"] for one in reading.get("each", []) if one["counts"]],
        "call": call,
        "reason": reading.get("reason") or "",
        "side": _(entry.side_words(missed(reading))) if reading and missed(reading) else "",
        "rating": rating.rate if rating else "",
        "words": rating.words if rating else "",
        "sentence": sentence_of(entry, rating.rate if rating else "", missed(reading) if reading else ""),
        "thing": is_thing,
    }


def _thing(review: Review, points: list[dict[str, Any]]) -> dict[str, Any] | None:
    if not review.thing_title.strip():
        return None
    point = next((point for point in points if point["thing"]), None)
    return {
        "checkpoint": review.thing_checkpoint,
        "title": review.thing_title.strip(),
        "words": review.thing_words.strip(),
        "point": point,
    }


def _picture(number: int, markup: MarkUp, review: Review) -> dict[str, Any]:
    instant = _(INSTANT_NAMES[markup.instant]) if markup.instant in INSTANT_NAMES else ""
    tones = [tone for tone in ("skeleton", "seen", "wanted", "coach") if tone in _tones(markup)]
    return {
        "file": f"picture-{number}.jpg",
        "clip": str(markup.clip_id),
        "frame": markup.frame,
        "instant": instant,
        "swing": _swing_words(markup, review),
        "caption": markup.caption.strip(),
        "tones": tones,
        "marks": MARKS,
        "for_thing": markup.for_thing,
        "lighter": review.sends_lighter(markup.clip_id),
        "alt": _alt(instant, markup.caption.strip()),
    }


def _swing_words(markup: MarkUp, review: Review) -> str:
    """Which swing a picture shows, where that is not plain: the numbers beside it are those of all that count."""
    if markup.clip_id != review.clip_id:
        return _("From another clip")
    swings = result_of(markup.clip).get("swings", [])
    place = next((n for n, one in enumerate(swings, 1) if one["start_frame"] <= markup.frame <= one["end_frame"]), 0)
    return _("Swing %(n)d of %(all)d") % {"n": place, "all": len(swings)} if place and len(swings) > 1 else ""


def _tones(markup: MarkUp) -> set[str]:
    body = {"skeleton"} if markup.show_skeleton else set()
    return body | {shape.get("tone", "coach") for shape in markup.shapes}


def _alt(instant: str, caption: str) -> str:
    about = _("The swing at %(instant)s, with the coach’s marks") % {"instant": instant.lower()} if instant else ""
    return ". ".join(part for part in (about or _("A frame of the swing, with the coach’s marks"), caption) if part)


def _plan(review: Review, hits: str) -> list[dict[str, Any]]:
    draft = draft_of(review)
    why = reasons(draft.assignments, review.thing_checkpoint, draft.side, draft.ratings)
    return [_drill(assignment, said, hits) for assignment, said in zip(draft.assignments, why, strict=True)]


def _drill(assignment: Assignment, why: str, hits: str) -> dict[str, Any]:
    drill = assignment.drill
    set_up = completed({**drill.set_up, **assignment.set_up})
    return {
        "slug": drill.slug,
        "title": drill.title,
        "in_short": drill.in_short,
        "why": why,
        "words": assignment.words.strip(),
        "steps": list(drill.steps),
        "goal": assignment.goal.strip() or drill.goal,
        "set_up": set_up,
        "set_up_words": [list(pair) for pair in in_words(set_up)],
        "days": set_up["days"],
        "cautions": cautions(set_up["ball"]),
        "own_cautions": list(drill.cautions),
        "drawing": drawing(set_up, hits, PAGE),
        "drawing_print": drawing(set_up, hits, PRINT),
        "drawing_words": described(set_up),
    }
