"""Dark film made lighter in what is sent, by the curve that the desk shows (static/js/desk/light.js): before anything is drawn on it."""

from __future__ import annotations

from PIL import Image

TIMES = 2  # as often as the desk lays the picture over itself; makes nearly four times of what is all but black


def _over_itself(value: int) -> int:
    """A channel laid over itself as a screen (W3C, Compositing and Blending Level 1): what is bright stays below white."""
    return value + value - round(value * value / 255)


def _curve(value: int) -> int:
    for _n in range(TIMES):
        value = _over_itself(value)
    return value


CURVE = [_curve(value) for value in range(256)]


def lighter(picture: Image.Image) -> Image.Image:
    """The RGB picture made lighter, a new one."""
    return picture.point(CURVE * len(picture.getbands()))
