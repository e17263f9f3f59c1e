"""One family's data as a list of files: what `portal/privacy/views/taking.py` sends as a ZIP.

Small texts are made here; film and pictures are named and read when their turn comes, so that nothing large is in memory.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.text import slugify

from portal.evaluations.models import Evaluation, Question
from portal.intake import looks as seen
from portal.intake import receiving, wording
from portal.intake.models import Clip, Submission
from portal.outbox.models import Email
from portal.people.models import Player, User

PIECE = 256 * 1024
COPIES = (("review.mp4", "review-copy.mp4"), ("sound.flac", "review-sound.flac"))
UNPACKED_BY_NONE = str.maketrans(dict.fromkeys('<>:"|?*', "_"))  # Windows unpacks no file whose name holds one of them
READING = ("swing", "checkpoint", "instant", "value", "unit", "low", "high", "call", "reason")


@dataclass(frozen=True)
class Entry:
    """One file of the ZIP: its `text`, or the stored file `stored`."""

    name: str
    text: str = ""
    stored: str = ""

    def pieces(self) -> Iterator[bytes]:
        """The bytes, a piece at a time. A file that went in this moment is empty: the list says that it was there."""
        if not self.stored:
            yield self.text.encode()
            return
        try:
            file = default_storage.open(self.stored, "rb")
        except FileNotFoundError:
            return
        with file:
            while piece := file.read(PIECE):
                yield piece


def entries(user: User, players: Iterable[Player]) -> list[Entry]:
    """All that is kept of this account and of these players, for whom it speaks."""
    players = list(players)
    about = {"user": user, "players": players, "now": timezone.localtime()}
    return [
        Entry("README.txt", render_to_string("privacy/takeout_readme.txt", about)),
        Entry("account.json", _json(_account(user))),
        *_emails(user),
        *(entry for player in players for entry in _of_player(player)),
    ]


def _account(user: User) -> dict[str, Any]:
    return {
        "email": user.email,
        "name": user.name,
        "since": user.date_joined,
        "last_sign_in": user.last_login,
        "is_coach": user.is_coach,
        "is_owner": user.is_owner,
    }


def _emails(user: User) -> Iterator[Entry]:
    """What this site wrote to this address; nobody else's emails."""
    for number, email in enumerate(Email.objects.filter(to__iexact=user.email).order_by("written_at"), start=1):
        day = timezone.localtime(email.written_at).date()
        text = f"{email.subject}\n{timezone.localtime(email.written_at):%Y-%m-%d %H:%M}\n\n{email.body}"
        yield Entry(f"emails/{day} {number:03} {_safe(email.subject)}.txt", text)


def _of_player(player: Player) -> Iterator[Entry]:
    place = f"players/{_safe(str(player))} {str(player.pk)[:8]}"
    yield Entry(f"{place}/player.json", _json(_player(player)))
    yield Entry(f"{place}/consents.json", _json(_consents(player)))
    looks = [(look.when, look.who, look.seen_as, look.words) for look in seen.seen_of(player)]
    yield Entry(f"{place}/who-looked.csv", _csv(("when", "who", "as", "what"), looks))
    for sent in player.submissions.select_related("camp").order_by("created_at"):
        day = timezone.localtime(sent.created_at).date()
        yield from _of_submission(sent, f"{place}/{day} {_safe(sent.camp.name)} {str(sent.pk)[:8]}")


def _player(player: Player) -> dict[str, Any]:
    return {
        "id": player.pk,
        "first_name": player.first_name,
        "last_name": player.last_name,
        "birth_year": player.birth_year,
        "hits": player.hits,
        "sport": player.sport,
        "called": player.pronoun,
        "own_sign_in": player.user.email if player.user else None,
        "of_age_said_at": player.adult_said_at,
        "camps": [camp.name for camp in player.camps.all()],
        "since": player.created_at,
    }


def _consents(player: Player) -> list[dict[str, Any]]:
    return [
        {
            "camp": given.camp.name,
            "given_by": given.giver,
            "given_at": given.given_at,
            "taken_back_at": given.taken_back_at,
            "wording": given.wording,
            "words": str(wording.WORDINGS[given.wording].agree) if given.wording in wording.WORDINGS else None,
            "training_too": given.training_too,
        }
        for given in player.consents.select_related("camp", "given_by").order_by("given_at")
    ]


def _of_submission(sent: Submission, place: str) -> Iterator[Entry]:
    yield Entry(f"{place}/submission.json", _json(_submission(sent)))
    for number, clip in enumerate(sent.clips.select_related("measurement"), start=1):
        yield from _of_clip(clip, f"{place}/clip-{number}")
    if asked := _questions(sent):
        yield Entry(f"{place}/questions.json", _json(asked))
    for edition in sent.evaluations.order_by("edition"):
        yield from _of_edition(edition, f"{place}/evaluation-{edition.edition}")


def _submission(sent: Submission) -> dict[str, Any]:
    return {
        "id": sent.pk,
        "camp": sent.camp.name,
        "state": sent.state,
        "since": sent.state_since,
        "note": sent.note,
        "film_again": sent.film_again_words,
        "sent_at": sent.created_at,
        "received_at": sent.received_at,
        "promised_by": sent.promised_by,
        "film_ended_at": sent.film_ended_at,
    }


def _questions(sent: Submission) -> list[dict[str, Any]]:
    """What the family asked the coach, and what was answered."""
    asked = Question.objects.filter(evaluation__submission=sent).select_related("evaluation", "asked_by", "answered_by")
    return [
        {
            "about_edition": one.evaluation.edition,
            "asked_by": str(one.asked_by) if one.asked_by else None,
            "asked_at": one.asked_at,
            "question": one.words,
            "answered_by": str(one.answered_by) if one.answered_by else None,
            "answered_at": one.answered_at,
            "answer": one.answer,
        }
        for one in asked
    ]


def _of_clip(clip: Clip, place: str) -> Iterator[Entry]:
    """The original under the name it came with, the copy that plays everywhere and its sound, and what was measured."""
    yield Entry(f"{place}/{_clip_name(clip.name)}", stored=str(clip.original.name))
    measurement = getattr(clip, "measurement", None)
    result = measurement.result if measurement else None
    if measurement is None or not result:
        return
    for made, name in COPIES:
        stored = f"{measurement.products}/{made}"
        if measurement.products and default_storage.exists(stored):
            yield Entry(f"{place}/{name}", stored=stored)
    yield Entry(f"{place}/measured.json", _json(result))
    yield Entry(f"{place}/readings.csv", _csv(READING, _readings(result)))


def _readings(result: dict[str, Any]) -> Iterator[tuple[Any, ...]]:
    for swing in result.get("swings", []):
        for reading in swing.get("readings", []):
            low, high = reading.get("interval") or (None, None)
            known = [reading.get(name) for name in ("checkpoint", "instant", "value", "unit")]
            yield (swing.get("index"), *known, low, high, reading.get("call"), reading.get("reason"))


def _of_edition(edition: Evaluation, place: str) -> Iterator[Entry]:
    yield Entry(f"{place}/evaluation.json", _json(edition.snapshot))
    if edition.pdf:
        yield Entry(f"{place}/evaluation.pdf", stored=edition.pdf)
    for picture in edition.snapshot.get("pictures", []):
        yield Entry(f"{place}/{PurePath(picture['file']).name}", stored=f"{edition.folder}/{picture['file']}")
    days = edition.practice_days.order_by("day", "drill").values_list("day", "drill")
    yield Entry(f"{place}/practice-days.csv", _csv(("day", "drill"), days))


def _json(value: Any) -> str:
    return json.dumps(value, default=str, ensure_ascii=False, indent=2) + "\n"


def _csv(heads: Iterable[str], rows: Iterable[Iterable[Any]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(heads)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: Any) -> Any:
    """What a table would take for a formula stands as text."""
    return f"'{value}" if isinstance(value, str) and value[:1] in ("=", "+", "-", "@") else value


def _clip_name(name: str) -> str:
    """The name that the clip came with, as every system can unpack it, and never that of a file which stands beside it."""
    name = receiving.safe_name(name).translate(UNPACKED_BY_NONE) or "clip"
    return f"original-{name}" if name.lower() in {copy for _made, copy in COPIES} else name


def _safe(text: str) -> str:
    return slugify(text, allow_unicode=True)[:60] or "x"
