"""How far a submission is, as its family reads it: what is done, what goes on now, what is still to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal.intake.models import Submission
from portal.intake.states import State
from portal.intake.waiting import clips_before, measurement_of, players_before, swings_found, telling_clip

DONE, NOW, STOP, TO_COME = "done", "now", "stop", "to_come"
MEASURED = (State.READY, State.IN_REVIEW, State.PUBLISHED, State.FILM_AGAIN)


@dataclass(frozen=True)
class Step:
    """One step: words, when it was (or ""), and how it stands: done, now, stop or to_come."""

    words: str
    when: str = ""
    stands: str = TO_COME


def steps(submission: Submission) -> list[dict[str, str]]:
    """The steps for templates/components/steps.html."""
    found = [_received(submission), _measured(submission), _coach(submission), _evaluation(submission)]
    return [{"words": step.words, "when": step.when, "is": step.stands} for step in found if step]


def coach_of(submission: Submission) -> str:
    """Whom the family waits for, by name."""
    coach = submission.reviewer or submission.camp.lead_coach
    return _("Coach %(name)s") % {"name": coach.get_short_name()} if coach and coach.name else _("the coach")


def _received(submission: Submission) -> Step:
    if submission.received_at is None:
        stands = STOP if submission.state == State.WITHDRAWN else NOW
        return Step(_("Waiting for the clip"), stands=stands)
    return Step(_("Received"), day_and_time(submission.received_at), DONE)


def _measured(submission: Submission) -> Step | None:
    if submission.state == State.WITHDRAWN:
        return Step(_("Withdrawn; the clips are deleted"), day_and_time(submission.state_since), STOP)
    clip = telling_clip(submission)
    measurement = measurement_of(clip)
    if submission.state == State.UNREADABLE:
        return Step(_("The clip could not be measured"), stands=STOP)
    if submission.state in MEASURED:
        return Step(found_words(swings_found(submission)), day_and_time(measurement.finished_at if measurement else None), DONE)
    if submission.state in (State.RECEIVED, State.MEASURING) and measurement and measurement.waits_for_room:
        return Step(_("Kept; it waits for room on our disk"), stands=NOW)
    if submission.state == State.MEASURING and measurement is not None:
        return Step(_("Measuring: %(stage)s") % {"stage": measurement.get_stage_display()}, stands=NOW)
    if submission.state in (State.RECEIVED, State.MEASURING):
        return Step(_before_words(clips_before(clip) if clip else 0), stands=NOW)
    return Step(_("Measuring"))


def found_words(swings: int) -> str:
    if not swings:
        return _("Measured")
    return ngettext("Measured: %(n)d swing found", "Measured: %(n)d swings found", swings) % {"n": swings}


def _before_words(clips: int) -> str:
    if not clips:
        return _("Next to be measured")
    return ngettext(
        "Waiting to be measured, %(n)d clip before it", "Waiting to be measured, %(n)d clips before it", clips
    ) % {"n": clips}


def _coach(submission: Submission) -> Step | None:
    who = coach_of(submission)
    if submission.state == State.WITHDRAWN:
        return None
    if submission.state == State.READY:
        return Step(_waiting_words(who, players_before(submission)), stands=NOW)
    if submission.state == State.IN_REVIEW:
        return Step(_upper(_("%(who)s is reviewing it now") % {"who": who}), day_and_time(submission.state_since), NOW)
    if submission.state == State.FILM_AGAIN:
        words = _("%(who)s asks for a new clip") % {"who": who}
        return Step(_upper(words), day_and_time(submission.state_since), STOP)
    if submission.state == State.PUBLISHED:
        return Step(_upper(_("%(who)s has reviewed it") % {"who": who}), stands=DONE)
    return Step(_upper(_("%(who)s will review it") % {"who": who}), stands=TO_COME)


def _waiting_words(who: str, before: int) -> str:
    if not before:
        return _("Waiting for %(who)s, next in line") % {"who": who}
    return ngettext("Waiting for %(who)s, %(n)d player ahead", "Waiting for %(who)s, %(n)d players ahead", before) % {
        "who": who,
        "n": before,
    }


def _evaluation(submission: Submission) -> Step | None:
    if submission.state == State.WITHDRAWN:
        return None
    if submission.state == State.PUBLISHED:
        return Step(_("Evaluation and drills are there"), day_and_time(submission.state_since), DONE)
    return Step(_("Evaluation and drills"))


def _upper(words: str) -> str:
    """The first letter large, the rest as it is."""
    return words[:1].upper() + words[1:]


def day_and_time(moment: datetime | None) -> str:
    return date_format(timezone.localtime(moment), "l, F j, g:i A") if moment else ""
