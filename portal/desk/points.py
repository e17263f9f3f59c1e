"""The points of a body and a bat that a coach can put in place, in the order of the desk's list."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from portal.measuring.door import KEYPOINTS

_WORDS = {
    "nose": gettext_noop("nose"),
    "left_ear": gettext_noop("left ear"),
    "right_ear": gettext_noop("right ear"),
    "left_shoulder": gettext_noop("left shoulder"),
    "right_shoulder": gettext_noop("right shoulder"),
    "left_elbow": gettext_noop("left elbow"),
    "right_elbow": gettext_noop("right elbow"),
    "left_wrist": gettext_noop("left wrist"),
    "right_wrist": gettext_noop("right wrist"),
    "left_hip": gettext_noop("left hip"),
    "right_hip": gettext_noop("right hip"),
    "left_knee": gettext_noop("left knee"),
    "right_knee": gettext_noop("right knee"),
    "left_ankle": gettext_noop("left ankle"),
    "right_ankle": gettext_noop("right ankle"),
    "left_heel": gettext_noop("left heel"),
    "right_heel": gettext_noop("right heel"),
    "left_toe": gettext_noop("left toe"),
    "right_toe": gettext_noop("right toe"),
}
_BAT = {"knob": gettext_noop("knob of the bat"), "barrel": gettext_noop("end of the barrel")}


def points() -> list[tuple[str, str]]:
    """Value and words of each: a keypoint's number, or "knob" or "barrel"."""
    body = [(str(KEYPOINTS[name]), _(words)) for name, words in _WORDS.items()]
    return body + [(end, _(words)) for end, words in _BAT.items()]
