"""Make the demo: the cast, their clips measured by the running workers, and what the coaches did with them."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

from django.db import close_old_connections, transaction

from portal.demo import cast, films, meanwhile, people, sending, write_up
from portal.demo.cast import Hitter
from portal.desk import claims
from portal.evaluations.models import Evaluation
from portal.evaluations.publish import publish
from portal.intake import erase, mails
from portal.intake.models import Clip, Submission
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
    sent: list[tuple[Hitter, Clip]] = field(default_factory=list)

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
        for hitter, clip in self.sent:
            self._go_on(hitter, clip)
        self._wait_for_pdfs()
        for hitter, submission in started:
            if hitter.story == "live":  # last: whoever looks now sees these being measured
                self._send_one(submission, hitter, films.another_copy(chosen[hitter].data))

    def _send(
        self, started: list[tuple[Hitter, Submission]], chosen: dict[Hitter, films.Film], any_film: films.Film
    ) -> None:
        """Different films first: the workers then never watch the same one at the same time."""
        seen: set[films.Film] = set()
        later: list[tuple[Hitter, Submission]] = []
        for hitter, submission in started:
            if hitter.story == "unreadable":
                self._send_one(submission, hitter, films.cut_off(any_film.data))
            elif hitter in chosen and hitter.story != "live":
                if chosen[hitter] in seen:
                    later.append((hitter, submission))
                    continue
                seen.add(chosen[hitter])
                self._send_one(submission, hitter, chosen[hitter].data)
        if later:
            self._wait_for_measuring()
        for hitter, submission in later:
            self._send_one(submission, hitter, chosen[hitter].data)

    def _send_one(self, submission: Submission, hitter: Hitter, data: bytes) -> None:
        """Nothing where its family has sent or withdrawn one by hand meanwhile."""
        send = sending.send_damaged if hitter.story == "unreadable" else sending.send
        if Submission.objects.filter(pk=submission.pk, state=State.UPLOADING).exists():
            with meanwhile.theirs_first(submission):
                self.sent.append((hitter, send(submission, hitter, data)))

    def _wait_for_measuring(self) -> None:
        """Until every clip that the demo has sent so far is measured, refused or gone."""
        self._wait(self._all_measured)

    def _all_measured(self) -> bool:
        rows = list(Measurement.objects.filter(clip__in=self._clips()).values_list("stage", "done", "total"))
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

    def _clips(self) -> list[Clip]:
        return [clip for _, clip in self.sent]

    def _go_on(self, hitter: Hitter, clip: Clip) -> None:
        """What happened after the measuring, by the same functions that the pages call."""
        _check(hitter, clip)
        submission = meanwhile.untouched(clip, State.UNREADABLE if hitter.story == "unreadable" else State.READY)
        if submission is not None:
            coach = self.people.get(hitter.reviewer)
            with meanwhile.theirs_first(submission, coach):
                self._tell_on(hitter, submission, coach)

    def _tell_on(self, hitter: Hitter, submission: Submission, coach: User | None) -> None:
        sending.date_back(submission, hitter.days)
        submission.refresh_from_db()
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


def _check(hitter: Hitter, clip: Clip) -> None:
    """Raise NotMade when the clip itself came out otherwise than the demo needs it. One that is gone was withdrawn by somebody."""
    measurement = Measurement.objects.filter(clip=clip).select_related("clip__submission__player").first()
    if measurement is None:
        return
    player = measurement.clip.submission.player
    if hitter.story == "unreadable" and measurement.stage == Stage.DONE:
        raise NotMade(f"The clip of {player} was measured, though most of its file is missing.")
    if hitter.story != "unreadable" and measurement.stage == Stage.FAILED:
        raise NotMade(f"The clip of {player} could not be measured: {measurement.failure_words}")
