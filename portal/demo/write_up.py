"""A coach's draft for a measured clip, from what was really read in it."""

from __future__ import annotations

from typing import Any

from portal.desk import drafts
from portal.desk.counting import readings_of
from portal.desk.headline import headline
from portal.desk.models import Rate, Review
from portal.desk.swings import swing_of
from portal.drills.fitting import Fit, best_first, fit
from portal.drills.models import Drill
from portal.intake.models import Submission
from portal.measuring import door
from portal.measuring.wanted import NoneWanted, wanted_position

# What a coach would take first, when it is out of range; each has drills in the library.
FIRST = (
    "down_foot_opening", "down_front_knee", "time_to_start", "load_head_travel", "down_hips_square", "down_shoulders_square",
    "down_bat_angle", "swing_elbow_line", "contact_head_travel", "setup_base_width", "extension_reach", "finish_balance",
)  # fmt: skip
BY_EYE = "finish_pull_across"
# What is about where the hands go: drawn as the way from the chest to them.
OF_THE_HANDS = {BY_EYE, "extension_reach", "finish_hands_height", "load_hands_back"}
RATE_OF_CALL = {
    "in range": Rate.GOOD,
    "out of range": Rate.WORK_ON,
}  # a coach who is in a hurry leaves the close ones open
MOST_GOOD, MOST_WORK = 6, 3  # a page full of faults helps nobody, and one full of numbers is not read


def write(submission: Submission) -> Review:
    """The whole draft: ratings, words, the one thing, two pictures, a practice plan."""
    review = drafts.open_draft(submission)
    swing = _swing(review)
    thing = _thing(swing)
    _rate(review, swing, thing)
    _words(review, swing, thing)
    _pictures(review, swing, thing)
    _plan(review, swing, thing)
    return review


def begin(submission: Submission) -> Review:
    """A draft that the coach has only just begun."""
    review = drafts.open_draft(submission)
    swing = _swing(review)
    _rate(review, {**swing, "readings": _readable(swing)[:4]}, "")
    drafts.set_fields(greeting="Thank you for the clip.")(review)
    return review


def _swing(review: Review) -> dict[str, Any]:
    """The swing shown, with the numbers that stand beside the coach's words: the clip's."""
    swing = swing_of(review)
    assert swing is not None
    return {**swing, "readings": list(readings_of(review).values())}


def _readable(swing: dict[str, Any]) -> list[dict[str, Any]]:
    return [reading for reading in swing["readings"] if reading["call"] in RATE_OF_CALL]


def _thing(swing: dict[str, Any]) -> str:
    """The checkpoint to work on first: one that surely misses its band, or else one that only the coach's eye rates.

    Never one whose reading lies in its band: the letter would argue against its own number.
    """
    calls = {reading["checkpoint"]: reading["call"] for reading in _readable(swing)}
    return next((checkpoint for checkpoint in FIRST if calls.get(checkpoint) == "out of range"), BY_EYE)


def _rate(review: Review, swing: dict[str, Any], thing: str) -> None:
    """Ratings of what is clear follow the calls; beyond the first few faults a coach says `watch`. The rest stays open, as in most
    reviews.
    """
    worst = good = 0
    for reading in _readable(swing):
        rate = Rate.WORK_ON if reading["checkpoint"] == thing else RATE_OF_CALL[reading["call"]]
        if rate == Rate.WORK_ON and reading["checkpoint"] != thing:
            worst += 1
            rate = rate if worst < MOST_WORK else Rate.WATCH
        good += rate == Rate.GOOD
        if rate == Rate.GOOD and good > MOST_GOOD:
            continue
        entry = door.checkpoint(reading["checkpoint"])
        words = {Rate.GOOD: entry.good_words, Rate.WORK_ON: entry.words_for(door.missed(reading))}.get(rate, "")
        drafts.rate(reading["checkpoint"], rate, words)(review)
    if thing == BY_EYE:
        drafts.rate(thing, Rate.WORK_ON, door.checkpoint(thing).words_for(""))(review)


def _words(review: Review, swing: dict[str, Any], thing: str) -> None:
    entry = door.checkpoint(thing)
    well = [reading["checkpoint"] for reading in _readable(swing) if reading["call"] == "in range"]
    good = [door.checkpoint(checkpoint).good_words for checkpoint in well if checkpoint != thing][:3]
    drafts.set_fields(
        greeting="Thank you for the clip. I looked at your swing many times, and I like what I see.",
        good=good or ["You swing with courage, from the first step to the end."],
        thing_checkpoint=thing,
        thing_title=headline(_to_do(swing, thing)) or entry.name,
        thing_words=f"{_to_do(swing, thing)} {entry.why}",
        closing="A few good swings count for more than a hundred tired ones. Send me a new clip in six weeks.",
    )(review)


def _to_do(swing: dict[str, Any], thing: str) -> str:
    """The book's sentence for the side of the band on which the one thing lies."""
    return door.checkpoint(thing).words_for(_side(swing, thing))


def _side(swing: dict[str, Any], thing: str) -> str:
    return door.missed(next(reading for reading in swing["readings"] if reading["checkpoint"] == thing))


def _pictures(review: Review, swing: dict[str, Any], thing: str) -> None:
    """The one thing's frame with the skeleton, how it is and how it is wanted; contact with a line through the head."""
    assert review.clip is not None
    tracks = door.load_tracks(review.clip.measurement.tracks)
    at = {name: instant["frame"] for name, instant in swing["instants"].items() if instant["frame"] is not None}
    instant = door.checkpoint(thing).instant
    if instant in at:
        points = tracks.keypoints_px[at[instant]]
        shapes = [_seen(points, review, thing), _wanted(tracks, review, thing)]
        _draw(review, at[instant], instant, shapes, _to_do(swing, thing), for_thing=True)
    if "contact" in at and instant != "contact":
        points = tracks.keypoints_px[at["contact"]]
        shapes = [_shape("line", _head_over_hips(points), "seen")]
        _draw(review, at["contact"], "contact", shapes, contact_words(swing), for_thing=False)


def contact_words(swing: dict[str, Any]) -> str:
    """Below the picture of contact: praise where the head was surely read as still, else what is drawn there."""
    head = next((one for one in swing["readings"] if one["checkpoint"] == "contact_head_travel"), None)
    if door.in_range(head):
        return "Contact: up to here your head stayed still."
    return "Contact: the line goes from your head to your hips."


def _seen(points: Any, review: Review, thing: str) -> dict[str, Any] | None:
    """How the one thing is: the knee's bend, the foot, where the hands are, or head and hips."""
    if thing == "down_front_knee":
        return _shape("angle", _front(points, review, "hip", "knee", "ankle"), "seen")
    if thing == "down_foot_opening":
        return _shape("line", _front(points, review, "heel", "toe"), "seen")
    if thing in OF_THE_HANDS:
        return _shape("line", [_middle(points, "shoulder"), _middle(points, "wrist")], "seen")
    return _shape("line", _head_over_hips(points), "seen")


def _wanted(tracks: door.Tracks, review: Review, thing: str) -> dict[str, Any] | None:
    """How it is wanted, from the reading and so on its side of the band; None where nothing can be drawn."""
    assert review.clip is not None
    swing = swing_of(review)
    assert swing is not None
    try:
        found = wanted_position(tracks, review.clip.measurement.corrections or {}, swing, thing)
    except NoneWanted:
        return None
    return _shape("ghost", found.points, "wanted")


def _draw(review: Review, frame: int, instant: str, shapes: list[Any], caption: str, *, for_thing: bool) -> None:
    assert review.clip is not None
    fields = {"instant": instant, "show_skeleton": True, "in_evaluation": True, "for_thing": for_thing}
    seen = [shape for shape in shapes if shape is not None]
    drafts.draw(review.clip, frame, shapes=seen, caption=caption[:200], **fields)(review)


def _shape(kind: str, points: list[Any], tone: str) -> dict[str, Any] | None:
    """The shape, or None when one of its points was not seen."""
    rounded = [[round(float(x), 1), round(float(y), 1)] for x, y in points]
    if any(value != value for point in rounded for value in point):
        return None
    return {"kind": kind, "points": rounded, "tone": tone}


def _front(points: Any, review: Review, *joints: str) -> list[Any]:
    """Joints of the hitter's front side, the one toward the pitcher."""
    assert review.clip is not None
    result = review.clip.measurement.result or {}
    side = "right" if result.get("film", {}).get("hand") == "left" else "left"
    return [points[door.KEYPOINTS[f"{side}_{joint}"]] for joint in joints]


def _head_over_hips(points: Any) -> list[Any]:
    return [_middle(points, "ear"), _middle(points, "hip")]


def _middle(points: Any, joint: str) -> Any:
    return (points[door.KEYPOINTS[f"left_{joint}"]] + points[door.KEYPOINTS[f"right_{joint}"]]) / 2


def _plan(review: Review, swing: dict[str, Any], thing: str) -> None:
    """One or two drills that train the one thing on the side on which it lies."""
    side = _side(swing, thing)
    drills = best_first(Drill.objects.filter(retired=False), thing, side)
    for drill in [drill for drill in drills if fit(drill, thing, side) < Fit.ELSEWHERE][:2]:
        drafts.assign(drill, set_up=drill.set_up, goal=drill.goal, words="")(review)
