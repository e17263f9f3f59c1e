"""The film check in one short line for the coach. The family's sentences say what to do differently; a coach only
wants to know what to expect.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from django.db.models import Func, IntegerField, QuerySet
from django.db.models.fields.json import KeyTransform
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from portal.intake.models import Clip
from portal.measuring.models import Stage

# by the check's id (analysis/read/checks.py)
MISSED: dict[str, Any] = {
    "swings": gettext_lazy("no whole swing"),
    "fps": gettext_lazy("few frames"),
    "size": gettext_lazy("hitter small"),
    "whole_body": gettext_lazy("body cut off"),
    "feet": gettext_lazy("feet cut off"),
    "steady": gettext_lazy("camera moves"),
    "sound": gettext_lazy("no sound"),
    "times": gettext_lazy("frame times mended"),
}
# by the code of a refusal (analysis/watch/errors.py)
REFUSED: dict[str, Any] = {
    "truncated": gettext_lazy("clip cut off"),
    "damaged": gettext_lazy("clip damaged"),
    "broken_index": gettext_lazy("clip damaged"),
    "crashed": gettext_lazy("clip damaged"),
    "unpacks": gettext_lazy("clip damaged"),
    "too_long": gettext_lazy("clip too long"),
    "too_large": gettext_lazy("picture too large"),
    "too_heavy": gettext_lazy("clip too heavy to unpack"),
    "not_video": gettext_lazy("no film in the file"),
    "empty": gettext_lazy("empty file"),
    "false_times": gettext_lazy("false frame times"),
}


class Facts(NamedTuple):
    """What a line says of a measured film."""

    film: dict[str, Any]
    swings: int


def facts(result: dict[str, Any] | None) -> Facts | None:
    """Out of a whole result; None where there is none."""
    return Facts(result["film"], len(result["swings"])) if result else None


def with_facts(clips: QuerySet[Clip]) -> QuerySet[Clip]:
    """Clips with their facts, which the database takes out of the results: whole ones are tens of kilobytes a line."""
    return (
        clips.select_related("measurement")
        .only("submission", "measurement__stage", "measurement__failure_code", "measurement__failure_words")
        .annotate(film_told=KeyTransform("film", "measurement__result"), swings_told=SwingCount("measurement__result"))
    )


class SwingCount(Func):
    """How many swings a result holds."""

    output_field = IntegerField()
    template = "JSONB_ARRAY_LENGTH(%(expressions)s -> 'swings')"

    def as_sqlite(self, compiler: Any, connection: Any, **more: Any) -> Any:
        return self.as_sql(compiler, connection, template="JSON_ARRAY_LENGTH(%(expressions)s, '$.swings')", **more)


def facts_of(clip: Clip | None) -> Facts | None:
    """The facts of a clip, when it is measured; a list's come with it (`with_facts`)."""
    measurement = getattr(clip, "measurement", None)
    if clip is None or measurement is None or measurement.stage != Stage.DONE:
        return None
    if "film_told" not in clip.__dict__:
        return facts(measurement.result)
    film = clip.__dict__["film_told"]
    return Facts(film, clip.__dict__["swings_told"] or 0) if film else None


def shown_first(clips: list[Clip]) -> Clip | None:
    """The clip that a review looks at first: the newest that shows a swing, else the newest measured; `clips` from the oldest on."""
    measured = [(clip, found) for clip in reversed(clips) if (found := facts_of(clip))]
    swinging = [(clip, found) for clip, found in measured if found.swings]
    return next((clip for clip, _found in swinging or measured), None)


def facts_of_all(clips: list[Clip]) -> Facts | None:
    """The film that is looked at first, with the swings of all clips."""
    found = facts_of(shown_first(clips))
    return found and found._replace(swings=sum(each.swings for each in map(facts_of, clips) if each))


def short_words(clips: list[Clip]) -> str:
    """What keeps the film from being good, or why it could not be measured: a few words."""
    if found := facts_of(shown_first(clips)):
        return ", ".join(_missed(check) for check in _failed(found))
    failure = getattr(clips[-1], "measurement", None) if clips else None
    if failure is None or not (failure.failure_words or failure.failure_code):
        return ""
    return str(REFUSED.get(failure.failure_code) or _("could not be measured"))


def family_words(clips: list[Clip]) -> list[str]:
    """The same for the family, in whole sentences that say what to do."""
    if found := facts_of(shown_first(clips)):
        return [check["words"] for check in _failed(found)]
    failure = getattr(clips[-1], "measurement", None) if clips else None
    return [failure.failure_words] if failure and failure.failure_words else []


def _failed(found: Facts) -> list[dict[str, Any]]:
    return [check for check in found.film["checks"] if not check["ok"]]


def _missed(check: dict[str, Any]) -> str:
    """A check that this table does not know keeps its own words, without what to do about it."""
    return str(MISSED.get(check["id"]) or check["words"].partition(".")[0])
