"""One doubt, and where on the desk it is settled."""

from __future__ import annotations

from dataclasses import dataclass

from portal.desk.stops import PREVIEW


@dataclass(frozen=True)
class Place:
    """A stop of the walk and the id of what stands there; `frame` where it is a picture of the film."""

    stop: str
    anchor: str = ""
    frame: int | None = None


@dataclass(frozen=True)
class Doubt:
    """`text` says what was found and what to do."""

    text: str
    place: Place


GOOD = Place(PREVIEW, "good-title")
THING = Place(PREVIEW, "thing-words")
HEADLINE = Place(PREVIEW, "thing-title")
PRONOUN = Place(PREVIEW, "pronoun")
PLAN = Place(PREVIEW, "library")


def at_checkpoint(checkpoint: str, stop: str) -> Place:
    return Place(stop, f"point-{checkpoint}")


def at_drill(slug: str) -> Place:
    return Place(PREVIEW, f"plan-{slug}")
