"""Numbers and calls as a reader sees them. One place, so that page, PDF and mail say the same."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

MINUS = "\u2212"
THIN = "\u202f"  # narrow no-break space between number and unit

# the call's word -> the class of its small shape; the last two stand in editions published before the calls had their names
CALL_SHAPES = {
    "in range": "in-range",
    "out of range": "out-of-range",
    "too close to call": "close",
    "not readable": "unread",
    "coach's eye": "eye",
    "inside": "in-range",
    "outside": "out-of-range",
}


def call_words(call: str) -> str:
    """The call in the reader's language."""
    return {
        "in range": _("in range"),
        "out of range": _("out of range"),
        "too close to call": _("too close to call"),
        "not readable": _("not readable"),
        "coach's eye": _("the coach’s eye decides"),
        # Older editions: a coach reads "inside" as where the pitch was.
        "inside": _("in range"),
        "outside": _("out of range"),
    }.get(call, call)


def number(value: float, signed: bool = False) -> str:
    """Two figures are plenty: whole numbers from 10 up, one place from 1, two below. A true minus sign.

    >>> number(-11.6), number(1.04), number(0.6), number(9.2, signed=True)
    ('−12', '1', '0.6', '+9.2')
    """
    places = 0 if abs(value) >= 9.95 else 1 if abs(value) >= 0.995 else 2
    text = f"{abs(value):.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    if float(text) == 0:
        return "0"
    sign = MINUS if value < 0 else "+" if signed else ""
    return sign + text


def measured(value: float | None, interval: Sequence[float] | None, unit: str = "") -> str:
    """A reading's value with its unit, no finer than its interval allows: no tenths of a degree within ±10°.

    >>> measured(9.6, (-1, 21), "°"), measured(1.63, (1.2, 2.0), "×")
    ('10°', '1.6\u202f×')
    """
    if value is None or interval is None:
        return with_unit(value, unit)
    half = (interval[1] - interval[0]) / 2
    return with_unit(round(value, 0 if half >= 1 else 1 if half >= 0.1 else 2), unit)


def with_unit(value: float | None, unit: str = "", signed: bool = False) -> str:
    """A value with its unit: 44°, +9 %, 1.4 × shoulder width. A dash when there is no value."""
    if value is None:
        return "\u2013"
    return number(value, signed) + _joined(unit)


def _joined(unit: str) -> str:
    if not unit:
        return ""
    return unit if unit.startswith("°") else THIN + unit


def give_or_take(value: float | None, interval: Sequence[float] | None, unit: str = "") -> str:
    """Half the width of the interval in words, or nothing."""
    if value is None or interval is None:
        return ""
    return _("give or take %(amount)s") % {"amount": with_unit((interval[1] - interval[0]) / 2, unit)}


def band_words(band: Sequence[float | None] | None, unit: str = "") -> str:
    """A band in a table: 25 to 60°, at most 45°. A dash where nothing is wanted."""
    low, high = band if band else (None, None)
    if low is None and high is None:
        return "\u2013"
    if low is None:
        return _("at most %(high)s") % {"high": with_unit(high, unit)}
    if high is None:
        return _("at least %(low)s") % {"low": with_unit(low, unit)}
    return _("%(low)s to %(high)s") % {"low": number(low), "high": with_unit(high, unit)}


def wanted_words(band: Sequence[float | None] | None, unit: str = "") -> str:
    """The band in words: wanted 25 to 60°, wanted at most 45°."""
    low, high = band if band else (None, None)
    if low is None and high is None:
        return ""
    if low is None:
        return _("wanted: at most %(high)s") % {"high": with_unit(high, unit)}
    if high is None:
        return _("wanted: at least %(low)s") % {"low": with_unit(low, unit)}
    return _("wanted: %(low)s to %(high)s") % {"low": number(low), "high": with_unit(high, unit)}


def strip_label(
    value: float | None,
    interval: Sequence[float] | None,
    band: Sequence[float | None] | None,
    unit: str = "",
    swings: Sequence[float] = (),
) -> str:
    """What a screen reader says in place of the strip; `swings` are the values of the single swings behind it."""
    parts = [_("not read")] if value is None else [measured(value, interval, unit), give_or_take(value, interval, unit)]
    return ", ".join(part for part in [*parts, wanted_words(band, unit), swings_words(swings, interval, unit)] if part)


def swings_words(swings: Sequence[float], interval: Sequence[float] | None, unit: str = "") -> str:
    """The values of single swings, no finer than the clip's: "single swings: 41°, 44°, 52°"; nothing for fewer than two."""
    if len(swings) < 2:
        return ""
    return _("single swings: %(values)s") % {"values": ", ".join(measured(one, interval, unit) for one in swings)}
