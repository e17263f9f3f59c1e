"""Another child in the words: a name of somebody else of the camp, "he" beside "she", or otherwise than before."""

from __future__ import annotations

import re
from collections.abc import Iterator

from django.utils.translation import gettext as _

from portal.desk.doubts.doubt import PRONOUN, Doubt
from portal.desk.doubts.draft import Draft, Passage

HE = frozenset({"he", "him", "his", "himself"})
SHE = frozenset({"she", "her", "hers", "herself"})
WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
# First names that are words as well: at the beginning of a sentence they are taken for the word.
ALSO_WORDS = {
    "will", "mark", "grace", "hope", "faith", "chase", "hunter", "may", "april", "june", "august", "summer", "rose",
    "joy", "drew", "pat", "art", "rich", "bill", "rob", "jack", "dean", "grant", "wade", "guy", "skip", "ace", "sky",
    "river", "stone", "reed", "cliff", "glen", "dale", "frank", "earnest", "max", "victor", "chance", "chip", "buck",
    "bud", "cash", "colt", "case", "clay", "dash", "blaze", "brook", "ray", "penny", "ruby", "pearl", "ivy", "holly",
    "heather", "daisy", "lily", "iris", "olive", "dawn", "eve", "harmony", "destiny", "trinity",
}  # fmt: skip
ENDS = ".!?:\n“\"'("


def doubts(draft: Draft) -> Iterator[Doubt]:
    others = _others(draft)
    for passage in draft.passages:
        for name in named(passage.text, others):
            said = _("“%(name)s” in %(where)s is another player of this camp. Put the right name, or take it out.")
            yield Doubt(said % {"name": name, "where": passage.where}, passage.place)
    yield from _called_otherwise(draft)
    yield from _pronouns(draft)


def _others(draft: Draft) -> set[str]:
    """First names of the camp's other players; not this player's own, nor those of the coach who signs."""
    submission = draft.review.submission
    players = submission.camp.players.exclude(pk=submission.player_id)
    names = {
        word for name in players.values_list("first_name", flat=True) for word in WORD.findall(name) if len(word) > 1
    }
    own = f"{submission.player} {submission.reviewer or ''}"
    return names - set(WORD.findall(own))


def named(text: str, names: set[str]) -> list[str]:
    """The names that the text holds, each once."""
    found = []
    for match in WORD.finditer(text):
        word = match[0]
        if word not in names or word in found:
            continue
        before = text[: match.start()].rstrip(" ")
        begins = not before or before[-1] in ENDS
        if not (begins and word.lower() in ALSO_WORDS and not text[match.end() :].startswith((",", "!"))):
            found.append(word)
    return found


def _called_otherwise(draft: Draft) -> Iterator[Doubt]:
    """Another pronoun than the player's family said, or than the newest evaluation held."""
    player, now = draft.review.submission.player, draft.review.called
    if player.pronoun and now != player.pronoun:
        said = _("Until now %(player)s was “%(before)s”; here you chose “%(now)s”. Is that right?")
        about = {"player": player.first_name, "before": _(player.pronoun), "now": _(now)}
        yield Doubt(said % about, PRONOUN)


def _pronouns(draft: Draft) -> Iterator[Doubt]:
    """ "he" and "she" in the words for one child: the one that the coach did not choose for this player, else the rarer."""
    kinds = {"he": HE, "she": SHE}
    held = {kind: [p for p in draft.passages if _words(p) & words] for kind, words in kinds.items()}
    chosen = draft.review.called
    wrong = {"he": "she", "she": "he"}.get(chosen) or min(held, key=lambda kind: len(held[kind]))
    if not held[wrong] or (chosen not in kinds and not (held["he"] and held["she"])):
        return
    passage = held[wrong][0]
    word = next(word for word in WORD.findall(passage.text) if word.lower() in kinds[wrong])
    if chosen in kinds:
        said = _("“%(word)s” in %(where)s, and you chose “%(chosen)s” for this player. Is that this player?")
        yield Doubt(said % {"word": word, "where": passage.where, "chosen": _(chosen)}, passage.place)
        return
    said = _("“%(word)s” in %(where)s, and elsewhere the words say it otherwise. Is that this player? Use one for all.")
    yield Doubt(said % {"word": word, "where": passage.where}, passage.place)


def _words(passage: Passage) -> set[str]:
    return {word.lower() for word in WORD.findall(passage.text)}
