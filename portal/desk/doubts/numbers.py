"""Numbers that the coach quotes: they are to be those of this clip, never of one of its swings alone, and a knee is told by its bend."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from portal.desk.doubts.doubt import Doubt
from portal.desk.doubts.draft import BY_ID, Draft, Passage, name_of
from portal.look.words import measured

QUOTED = re.compile(
    r"(?<![\w.,])(?P<number>[-\u2212]?\d{1,4}(?:[.,]\d{1,2})?)[\s\u202f\u00a0]?"
    r"(?P<unit>°|degrees?\b|%|percent\b|per cent\b|ms\b|milliseconds?\b|×)",
    re.IGNORECASE,
)
UNITS = {"d": "°", "°": "°", "%": "%", "p": "%", "m": "ms", "×": "×"}  # by the first letter
ALL_OF_IT = 100.0  # "100 %" says how hard, and quotes nothing
NEAR = 0.05  # of the strip: so near a value counts as quoting it where the words name no checkpoint


@dataclass(frozen=True)
class Quote:
    """A number with its unit, as the coach wrote it (`text`)."""

    text: str
    value: float
    unit: str

    def is_of(self, reading: dict[str, Any]) -> bool:
        return str(reading["unit"]).startswith(self.unit)

    def is_edge(self, reading: dict[str, Any]) -> bool:
        return self.is_of(reading) and any(edge == self.value for edge in reading["band"] or [])

    def lies_in(self, reading: dict[str, Any]) -> bool:
        """Whether the reading allows this number; "12°" also stands for one of −12°, told as "12° closed"."""
        low, high = reading["interval"] or (1.0, -1.0)
        return self.is_of(reading) and any(low - 0.5 <= value <= high + 0.5 for value in (self.value, -self.value))

    def is_near(self, reading: dict[str, Any]) -> bool:
        """Whether it is about the value itself; an interval may hold half of the strip."""
        if reading["value"] is None or not self.lies_in(reading):
            return False
        low, high = reading["scale"] or (0.0, 100.0)
        return abs(abs(reading["value"]) - abs(self.value)) <= max(NEAR * (high - low), 0.5)


def quotes_in(text: str) -> list[Quote]:
    """
    >>> [(quote.value, quote.unit) for quote in quotes_in("Bend 44°, not 12,5 degrees; 100 % effort, three times.")]
    [(44.0, '°'), (12.5, '°')]
    """
    found = [
        Quote(
            match[0], float(match["number"].replace(",", ".").replace("\u2212", "-")), UNITS[match["unit"][0].lower()]
        )
        for match in QUOTED.finditer(text)
    ]
    return [quote for quote in found if not (quote.unit == "%" and quote.value >= ALL_OF_IT)]


def doubts(draft: Draft) -> Iterator[Doubt]:
    for passage in draft.passages:
        for quote in quotes_in(passage.text):
            if said := _trouble(draft, passage, quote):
                yield Doubt(said, passage.place)


def _trouble(draft: Draft, passage: Passage, quote: Quote) -> str:
    """What is wrong with a number, or nothing."""
    own = draft.readings.get(passage.about)
    measures = own is not None and quote.is_of(own)
    if measures and own is not None and (quote.lies_in(own) or quote.is_edge(own)):
        return ""
    if inner := _inner_angle(draft, passage, quote):
        return inner
    if any(quote.is_near(reading) or quote.is_edge(reading) for reading in draft.readings.values()):
        return ""
    about = {"number": quote.text, "where": passage.where}
    if alone := _of_one_swing(draft, passage, quote):
        return alone % about
    if not measures or own is None:
        return _("“%(number)s” in %(where)s is no number of this clip. Take it out, or put the measured one.") % about
    about["name"] = name_of(BY_ID[passage.about])
    if own["value"] is None:
        said = _("“%(number)s” in %(where)s: “%(name)s” cannot be read from this clip. Say it without a number.")
        return said % about
    about["read"] = measured(own["value"], own["interval"], own["unit"])
    return _("“%(number)s” in %(where)s: “%(name)s” was measured as %(read)s. Put that number, or none.") % about


def _of_one_swing(draft: Draft, passage: Passage, quote: Quote) -> str:
    """A number that one swing of the clip has, while the words are about the clip, whose number is another one."""
    for checkpoint, reading in draft.readings.items():
        if passage.about not in ("", checkpoint) or not quote.is_of(reading) or reading["value"] is None:
            continue
        for one in reading.get("each", []):
            if abs(abs(one["value"]) - abs(quote.value)) <= 0.5:
                said = _(
                    "“%%(number)s” in %%(where)s is “%(name)s” of swing %(swing)d alone; the clip’s number is %(read)s. Put that one."
                )
                read = measured(reading["value"], reading["interval"], reading["unit"])
                return said % {"name": name_of(BY_ID[checkpoint]), "swing": one["swing"] + 1, "read": read}
    return ""


def _inner_angle(draft: Draft, passage: Passage, quote: Quote) -> str:
    """A knee told by the angle inside it (167°), while every number that reaches a family is its bend (13°)."""
    if quote.unit != "°" or not 90 < quote.value <= 180:
        return ""
    bend = Quote(quote.text, 180 - quote.value, "°")
    knees = [reading for name, reading in draft.readings.items() if is_knee(name)]
    own = draft.readings.get(passage.about)
    if not any(bend.lies_in(knee) for knee in ([own] if own in knees and own is not None else knees)):
        return ""
    said = _("“%(number)s” in %(where)s is the angle inside the knee; families read its bend. Write %(bend)s° of bend.")
    return said % {"number": quote.text, "where": passage.where, "bend": f"{bend.value:g}"}


def is_knee(checkpoint: str) -> bool:
    """Whether its reading is the bend of a knee."""
    return checkpoint.endswith(("front_knee", "rear_knee"))
