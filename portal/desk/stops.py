"""The walk: seven stops, one per instant, and the preview. Each stop holds its checkpoints as the coach sees them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from portal.desk.counting import readings_of
from portal.desk.models import Rate, Rating, Review
from portal.desk.swings import result_of
from portal.look.words import measured, of_what, sign_of, wanted_words, with_unit
from portal.measuring.door import INSTANT_NAMES, INSTANTS, Checkpoint, checkpoints_at, side_meant
from portal.measuring.wanted import BUILT

PREVIEW = "preview"
STOPS = (*INSTANTS, PREVIEW)

# the look of a rating in the tally of the contact sheet; the words stand beside it for who cannot see it
ROUGH_MS = 300  # an instant that may lie farther off than this is no number to go by: a stride takes as long
TALLY = {Rate.GOOD: "●", Rate.WATCH: "◐", Rate.WORK_ON: "◇", "": "·"}


@dataclass(frozen=True)
class Point:
    """One checkpoint at its stop: the book's entry, the reading, and what the coach says."""

    entry: Checkpoint
    reading: dict[str, Any]
    rating: str
    words: str
    is_thing: bool

    @property
    def long_unit(self) -> str:
        """What a share is of stands small beside the value."""
        return of_what(self.reading["unit"]) if self.reading["value"] is not None else ""

    @property
    def value(self) -> str:
        return measured(
            self.reading["value"], self.reading["interval"], sign_of(self.reading["unit"]), self.reading["band"]
        )

    @property
    def missed(self) -> str:
        """The side of the band on which a fault would lie: what helps against too little is wrong against too much."""
        return side_meant(self.reading)

    @property
    def own_band(self) -> str:
        """The band in words where it is the camp's own; the strip shows it either way."""
        if not self.reading.get("own_band"):
            return ""
        return _("%(wanted)s (this camp’s own band)") % {
            "wanted": wanted_words(self.reading["band"], self.reading["unit"])
        }

    @property
    def ticks(self) -> list[float]:
        """The values of the single swings that count."""
        return [one["value"] for one in self.reading.get("each", []) if one["counts"]]

    @property
    def each(self) -> list[dict[str, Any]]:
        """What each swing of the clip shows, in words no finer than the clip's."""
        reading = self.reading
        return [
            {
                **one,
                "number": one["swing"] + 1,
                "words": measured(one["value"], reading["interval"], sign_of(reading["unit"])),
            }
            for one in reading.get("each", [])
        ]

    @property
    def has_wanted(self) -> bool:
        """Whether some swing was measured out of the band, so that there is another position to draw."""
        low, high = self.reading.get("band") or (None, None)
        values = [self.reading["value"], *(one["value"] for one in self.reading.get("each", []))]
        return self.entry.id in BUILT and any(
            value is not None and ((low is not None and value < low) or (high is not None and value > high))
            for value in values
        )

    @property
    def has_strip(self) -> bool:
        return bool(self.reading["scale"]) and not self.entry.by_eye


@dataclass(frozen=True)
class Stop:
    """One instant of the walk. `key` is the digit that leads to it."""

    name: str
    title: str
    key: int
    frame: int | None
    when: str
    points: list[Point]

    @property
    def tally(self) -> str:
        return "".join(TALLY[point.rating] for point in self.points)

    @property
    def tally_words(self) -> str:
        rated = sum(1 for point in self.points if point.rating)
        return _("%(rated)d of %(all)d rated") % {"rated": rated, "all": len(self.points)}


def stops(review: Review, swing: dict[str, Any] | None) -> list[Stop]:
    """The seven stops: when, of the swing shown; how much, of the clip. Without a swing (none measured, found or left) the
    checkpoints stand for the coach's eye.
    """
    ratings = {rating.checkpoint: rating for rating in review.ratings.all()}
    readings = readings_of(review)
    return [_stop(key, name, swing, readings, ratings, review) for key, name in enumerate(INSTANTS, start=1)]


def first_frame(swing: dict[str, Any] | None, stop: str) -> int:
    """The frame that a stop shows, as static/js/desk/film.js finds it: its instant, or the nearest known one before it, or where
    the swing begins; without a swing the film's first.
    """
    if swing is None or stop not in INSTANTS:
        return 0
    known = (swing["instants"].get(name, {}).get("frame") for name in reversed(INSTANTS[: INSTANTS.index(stop) + 1]))
    return int(next((frame for frame in known if frame is not None), swing["start_frame"]))


def _stop(
    key: int,
    name: str,
    swing: dict[str, Any] | None,
    readings: dict[str, dict[str, Any]],
    ratings: dict[str, Rating],
    review: Review,
) -> Stop:
    instant = swing["instants"].get(name, {}) if swing else {}
    when = when_words(instant) if swing else _("no swing yet")
    if swing and len(result_of(review.clip).get("swings", [])) > 1:
        when = _("swing %(n)d: %(when)s") % {"n": swing["index"] + 1, "when": when}
    points = [
        _point(
            entry,
            readings.get(entry.id) or _unread(entry, swing),
            ratings.get(entry.id),
            entry.id == review.thing_checkpoint,
        )
        for entry in checkpoints_at(name)
    ]
    return Stop(name, _(INSTANT_NAMES[name]), key, instant.get("frame"), when, points)


def _point(entry: Checkpoint, reading: dict[str, Any], rating: Rating | None, is_thing: bool) -> Point:
    reading = dict(reading)
    if reading.get("band") and reading["band"] == [None, None]:
        reading["band"] = None
    return Point(entry, reading, rating.rate if rating else "", rating.words if rating else "", is_thing)


def _unread(entry: Checkpoint, swing: dict[str, Any] | None) -> dict[str, Any]:
    """What stands in place of a reading that this measurement does not hold."""
    call = "coach's eye" if entry.by_eye else "not readable"
    reason = _("this clip was measured before the checkpoint came into the book") if swing else _("no swing yet")
    return {
        "value": None,
        "unit": entry.unit,
        "interval": None,
        "band": None,
        "scale": list(entry.scale),
        "call": call,
        "reason": "" if entry.by_eye else reason,
    }


def when_words(instant: dict[str, Any]) -> str:
    """When the instant was, how surely, and how it is known."""
    if instant.get("time_s") is None:
        return str(instant.get("reason") or _("not found; put it where you see it"))
    said = _("%(seconds).3f s") % {"seconds": instant["time_s"]}
    if instant.get("interval_s"):
        low, high = instant["interval_s"]
        half = max(1, round(500 * (high - low)))
        sure = _("give or take %(amount)s") % {"amount": with_unit(half, "ms")}
        said += ", " + (sure if half <= ROUGH_MS else _("only roughly: put it where you see it"))
    sources = {"sound": _("heard in the sound"), "coach": _("put here by you")}
    source = sources.get(instant.get("source", ""), "")
    return f"{said}, {source}" if source else said
