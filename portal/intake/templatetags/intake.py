"""Words of the way for families: `{% load intake %}`."""

from __future__ import annotations

from typing import Any

from django import template
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
    """How it stands, in a few words that a family cannot misread."""
    return str(FOR_FAMILIES[State(submission.state)])


@register.filter
def broken_off(submission: Submission) -> list[dict[str, Any]]:
    """Its uploads that can be gone on with."""
    return begun.of(submission)
