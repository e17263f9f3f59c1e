"""Make the demo: the cast, their clips measured by the running workers, and what the coaches did with them."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from django.db import close_old_connections, transaction

from portal.demo import cast, films, people, sending, write_up
from portal.demo.cast import Hitter
from portal.desk import claims
from portal.evaluations.models import Evaluation
from portal.evaluations.publish import publish
from portal.intake import erase, mails
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from portal.people.models import User

PATIENCE_S = 20 * 60.0
LOOK_EVERY_S = 1.0
NEEDS_FILM = ("published", "in_review", "ready", "film_again", "withdrawn", "live")


class NotMade(Exception):
    """The demo could not be made; the message says why."""


@dataclass
class Making:
    """`tell` gets a line of progress now and then; `is_over` says whether the making was called off."""

    tell: Callable[[str], None]
    is_over: Callable[[], bool]
    people: dict[str, User] = field(default_factory=dict)
    sent: list[tuple[Hitter, Submission]] = field(default_factory=list)

    def run(self) -> None:
        people.hashed_password()
        with transaction.atomic():
            self.people = {adult.key: people.sign_up(adult) for adult in cast.ADULTS}
            self.camp = people.open_camps(self.people)
            players = [(hitter, people.enrol(hitter, self.camp, self.people)) for hitter in cast.HITTERS]
        started = [(hitter, sending.begin(hitter, player, self.camp)) for hitter, player in players if hitter.story]
        known = films.films()
        with_film = [hitter for hitter in cast.HITTERS if hitter.story in NEEDS_FILM]
        chosen = dict(zip(with_film, films.choose(with_film, known), strict=True))
        self._send(started, chosen, known[0])
        self._wait_for_measuring()
        for hitter, submission in self.sent:
            self._go_on(hitter, Submission.objects.get(pk=submission.pk))
        self._wait_for_pdfs()
        for hitter, submission in started:
            if hitter.story == "live":  # last: whoever looks now sees these being measured
                sending.send(submission, hitter, films.another_copy(chosen[hitter].data))

    def _send(
        self, started: list[tuple[Hitter, Submission]], chosen: dict[Hitter, films.Film], any_film: films.Film
    ) -> None:
        """Different films first: the workers then never watch the same one at the same time."""
        seen: set[films.Film] = set()
        later: list[tuple[Hitter, Submission]] = []
        for hitter, submission in started:
            if hitter.story == "unreadable":
                sending.send_damaged(submission, hitter, films.cut_off(any_film.data))
                self.sent.append((hitter, submission))
            elif hitter in chosen and hitter.story != "live":
                if chosen[hitter] in seen:
                    later.append((hitter, submission))
                    continue
                seen.add(chosen[hitter])
                sending.send(submission, hitter, chosen[hitter].data)
                self.sent.append((hitter, submission))
        if later:
            self._wait_for_measuring()
        for hitter, submission in later:
            sending.send(submission, hitter, chosen[hitter].data)
            self.sent.append((hitter, submission))

    def _wait_for_measuring(self) -> None:
        """Until every clip sent so far is measured or refused."""
        self._wait(self._all_measured)

    def _all_measured(self) -> bool:
        rows = list(Measurement.objects.filter(clip__submission__camp=self.camp).values_list("stage", "done", "total"))
        finished = sum(stage in (Stage.DONE, Stage.FAILED) for stage, _, _ in rows)
        parts = [
            f"{Stage(stage).label} {100 * done // total} %" for stage, done, total in rows if total and stage not in
            (Stage.DONE, Stage.FAILED, Stage.WAITING)
        ]  # fmt: skip
        self.tell(f"{finished} of {len(rows)} clips measured" + "".join(f"; {part}" for part in parts))
        return finished == len(rows)

    def _wait_for_pdfs(self) -> None:
        self._wait(lambda: not Evaluation.objects.filter(pdf="").exists())

    def _wait(self, done: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not done():
            if self.is_over():
                raise NotMade("Called off.")
            if time.monotonic() > end:
                raise NotMade("The workers did not get through in time. Their lines above say why; then: make demo")
            close_old_connections()
            time.sleep(LOOK_EVERY_S)

    def _go_on(self, hitter: Hitter, submission: Submission) -> None:
        """What happened after the measuring, by the same functions that the pages call."""
        wanted = State.UNREADABLE if hitter.story == "unreadable" else State.READY
        if submission.state != wanted:
            raise NotMade(f"The clip of {submission.player} is {submission.get_state_display()}: {_words(submission)}")
        sending.date_back(submission, hitter.days)
        submission.refresh_from_db()
        coach = self.people.get(hitter.reviewer)
        if hitter.story == "withdrawn":
            erase.withdraw(submission)
        elif coach is not None:
            claims.claim(submission, coach)
            self._review(hitter, submission, coach)

    def _review(self, hitter: Hitter, submission: Submission, coach: User) -> None:
        if hitter.story == "film_again":
            with transaction.atomic():
                submission.move(State.FILM_AGAIN, film_again_words=cast.FILM_AGAIN_WORDS, reviewer=None)
                mails.film_again(submission)
        elif hitter.story == "in_review":
            write_up.begin(submission)
        else:
            publish(write_up.write(submission), coach)


def _words(submission: Submission) -> str:
    failed = Measurement.objects.filter(clip__submission=submission).exclude(failure_words="").first()
    return failed.failure_words if failed else "nobody knows why"
