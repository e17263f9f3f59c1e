"""The phrases of a coach: those kept, and those that can be made from what the coach published before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from portal import access
from portal.desk.doubts.names import ALSO_WORDS, WORD
from portal.desk.models import Phrase
from portal.desk.phrases.places import BRACES, with_places
from portal.evaluations.models import Evaluation
from portal.measuring.door import CHECKPOINTS, side_meant
from portal.people.models import User

EDITIONS = 40  # of the newest; older words are seldom today's
MOST = 200
SHORTEST = 12  # letters; "Hi!" is quicker typed
_SENTENCES = re.compile(r"(?<=[.!?])\s+|\n+")
PARTS = GREETING, GOOD, THING, POINT, DRILL, CLOSING = "greeting", "good", "thing", "point", "drill", "closing"


@dataclass(frozen=True)
class Offered:
    """A phrase as the desk gets it; `times` is in how many evaluations it stood, 0 for one that is kept."""

    text: str
    part: str = ""
    checkpoint: str = ""
    side: str = ""
    times: int = 0


def kept(coach: User) -> list[Offered]:
    return [Offered(one.text, one.part, one.checkpoint, one.side) for one in Phrase.objects.filter(coach=coach)]


def offered(coach: User) -> list[Offered]:
    """Sentences out of this coach's newest editions, without anybody's name; most used first. None that is kept already, and
    none that the checkpoint book says anyhow.
    """
    others = {word for name in names_around(coach) for word in WORD.findall(name)}
    said = _books_sentences() | set(Phrase.objects.filter(coach=coach).values_list("text", flat=True))
    found: dict[str, Offered] = {}
    for snapshot in _snapshots(coach):
        own = _own_names(snapshot)
        books = said | _books_then(snapshot)
        in_this: dict[str, tuple[str, str, str]] = {}
        for sentence, about in _sentences(snapshot):
            text = _phrase(sentence, own, others)
            if text and sentence not in books and text not in books:
                in_this.setdefault(text, about)
        for text, about in in_this.items():
            first = found.setdefault(text, Offered(text, *about))
            found[text] = replace(first, times=first.times + 1)
    return sorted(found.values(), key=lambda one: -one.times)[:MOST]


def names_around(coach: User) -> set[str]:
    """First and last names of all players whom this coach can see."""
    rows = access.players_seen_by(coach).values_list("first_name", "last_name")
    return {name.strip() for row in rows for name in row if name.strip()}


def _own_names(snapshot: dict[str, Any]) -> set[str]:
    player = snapshot.get("player", {})
    return {word for key in ("first_name", "name") if (word := str(player.get(key) or "").strip())} | set(
        str(player.get("name") or "").split()
    )


def _phrase(sentence: str, own: set[str], others: set[str]) -> str:
    """The sentence as a phrase; "" where it is too short, or may still name a child."""
    text = with_places(sentence, own)
    if not SHORTEST <= len(text) <= 400 or not BRACES.sub("", text).strip(" .,!?"):
        return ""
    if others & set(WORD.findall(text)):
        return ""  # about somebody else, too: nothing for the next one
    words = {word.strip(".,!?’'“”").lower() for word in sentence.split()}
    return "" if {name.lower() for name in own} & ALSO_WORDS & words and "{name}" not in text else text


def _snapshots(coach: User) -> list[dict[str, Any]]:
    mine = Evaluation.objects.filter(published_by=coach).order_by("-published_at")
    return list(mine.values_list("snapshot", flat=True)[:EDITIONS])


def _sentences(snapshot: dict[str, Any]) -> Iterator[tuple[str, tuple[str, str, str]]]:
    """Each sentence with the part that it stood in, and the checkpoint and side that it was about."""
    points = {point["checkpoint"]: point for point in snapshot.get("points", [])}
    for text, about in _passages(snapshot, points):
        for sentence in _SENTENCES.split(text):
            if sentence.strip():
                yield sentence.strip(), about


def _passages(snapshot: dict[str, Any], points: dict[str, Any]) -> Iterator[tuple[str, tuple[str, str, str]]]:
    yield snapshot.get("greeting", ""), (GREETING, "", "")
    for sentence in snapshot.get("good", []):
        yield sentence, (GOOD, "", "")
    if thing := snapshot.get("thing"):
        about = thing["checkpoint"]
        yield thing["words"], (THING, about, _side(points.get(about)))
    for one in points.values():
        yield one["words"], (POINT, one["checkpoint"], "good" if one["rating"] == "good" else _side(one))
    for drill in snapshot.get("plan", []):
        yield drill["words"], (DRILL, "", "")
    yield snapshot.get("closing", ""), (CLOSING, "", "")


def _side(point: dict[str, Any] | None) -> str:
    return side_meant(point) if point else ""


def _books_sentences() -> set[str]:
    """What the book says: it is drafted without any phrase."""
    book: set[str] = set()
    for entry in CHECKPOINTS:
        book |= {entry.good_words, entry.why, entry.words_for("low"), entry.words_for("high")}
    return book


def _books_then(snapshot: dict[str, Any]) -> set[str]:
    """What the book said when this edition was published: words that it gave up since are no coach's own, and must not come back."""
    return {str(point.get(name, "")) for point in snapshot.get("points", []) for name in ("why", "sentence")}
