"""The states of a submission and the moves allowed between them: the one place that knows them."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _


class State(models.TextChoices):
    UPLOADING = "uploading", _("uploading")
    RECEIVED = "received", _("received")
    MEASURING = "measuring", _("measuring")
    READY = "ready", _("ready")
    IN_REVIEW = "in_review", _("in review")
    PUBLISHED = "published", _("published")
    FILM_AGAIN = "film_again", _("film again")
    UNREADABLE = "unreadable", _("unreadable")
    WITHDRAWN = "withdrawn", _("withdrawn")


# The family is asked for another clip: by the coach, or because none that came could be measured.
ASKS_ANEW = frozenset({State.FILM_AGAIN, State.UNREADABLE})
NO_CLIP = _("without a clip")  # for coach and family alike, also while one is on its way


def words_of(state: str) -> str:
    """A state in words that fit a list and a sentence."""
    return str(NO_CLIP if state == State.UPLOADING else State(state).label)


S = State
MOVES: dict[State, frozenset[State]] = {
    S.UPLOADING: frozenset({S.RECEIVED, S.WITHDRAWN}),
    S.RECEIVED: frozenset({S.MEASURING, S.UNREADABLE, S.WITHDRAWN}),
    # a new clip or a lost worker takes a submission back to received
    S.MEASURING: frozenset({S.READY, S.UNREADABLE, S.RECEIVED, S.WITHDRAWN}),
    S.READY: frozenset({S.IN_REVIEW, S.FILM_AGAIN, S.RECEIVED, S.WITHDRAWN}),
    S.IN_REVIEW: frozenset({S.READY, S.PUBLISHED, S.FILM_AGAIN, S.WITHDRAWN}),
    # a correction re-opens the review; the published edition stays as it is
    S.PUBLISHED: frozenset({S.IN_REVIEW, S.WITHDRAWN}),
    S.FILM_AGAIN: frozenset({S.RECEIVED, S.IN_REVIEW, S.WITHDRAWN}),
    S.UNREADABLE: frozenset({S.RECEIVED, S.IN_REVIEW, S.FILM_AGAIN, S.WITHDRAWN}),
    S.WITHDRAWN: frozenset(),
}


class MoveNotAllowed(Exception):
    """The move is not in the table, or somebody else moved the submission first."""

    def __init__(self, now: str, to: str) -> None:
        super().__init__(f"A submission that is {words_of(now)} cannot become {words_of(to)}.")
        self.now = now
        self.to = to


def may_move(now: str, to: str) -> bool:
    return State(to) in MOVES[State(now)]


def sources_of(to: str) -> list[str]:
    """The states from which `to` can be reached."""
    return [state.value for state, targets in MOVES.items() if State(to) in targets]
