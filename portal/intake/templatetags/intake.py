"""Words of the way for families: `{% load intake %}`."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.intake.models import Submission
from portal.intake.states import NO_CLIP, State
from portal.intake.tus import begun

register = template.Library()

# "Ready" is the coach's word: a family would take it for the evaluation.
FOR_FAMILIES = {
    State.UPLOADING: NO_CLIP,
    State.RECEIVED: _("received"),
    State.MEASURING: _("being measured"),
    State.READY: _("waiting for the coach"),
    State.IN_REVIEW: _("with the coach"),
    State.PUBLISHED: _("evaluation is ready"),
    State.FILM_AGAIN: _("film again"),
    State.UNREADABLE: _("could not be measured"),
    State.WITHDRAWN: _("withdrawn"),
}


@register.filter
def plain_state(submission: Submission) -> str:
    """How it stands, in a few words that a family cannot misread. What is published stays so while it is corrected."""
    if submission.is_corrected:
        return str(FOR_FAMILIES[State.PUBLISHED])
    return str(FOR_FAMILIES[State(submission.state)])


@register.filter
def is_late(submission: Submission) -> bool:
    """Whether the day that its family was promised has passed: it is not promised once more."""
    return submission.promised_by is not None and submission.promised_by < timezone.localdate()


@register.filter
def broken_off(submission: Submission) -> list[dict[str, Any]]:
    """Its uploads that can be gone on with."""
    return begun.of(submission)
