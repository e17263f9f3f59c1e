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


def measured(
    value: float | None,
    interval: Sequence[float] | None,
    unit: str = "",
    band: Sequence[float | None] | None = None,
) -> str:
    """A reading's value with its unit, no finer than its interval allows: no tenths of a degree within ±10°. Where it surely misses
    its band, it is never rounded onto the band's edge: no "30°, wanted: at least 30°".

    >>> measured(9.6, (-1, 21), "°"), measured(1.63, (1.2, 2.0), "×")
    ('10°', '1.6\u202f×')
    >>> measured(11.2, (3, 19), "% of foot spacing")
    '11% of foot spacing'
    >>> measured(29.6, (29.3, 29.9), "°"), measured(29.6, (29.3, 29.9), "°", (30, None))
    ('30°', '29.6°')
    """
    if value is None or interval is None:
        return with_unit(value, unit)
    told = _no_finer(value, (interval[1] - interval[0]) / 2)
    low, high = band or (None, None)
    for text in (number(told), *(_exactly(round(value, places)) for places in (1, 2))):
        shown = float(text.replace(MINUS, "-"))
        onto_low = low is not None and interval[1] < low <= shown
        onto_high = high is not None and interval[0] > high >= shown
        if not (onto_low or onto_high):
            break
    return text + _joined(unit)


def _exactly(value: float) -> str:
    """A number to the hundredth, as somebody typed it: a camp's edge of 12.5 is not told as 12.

    >>> _exactly(12.5), _exactly(-30.0), _exactly(270)
    ('12.5', '−30', '270')
    """
    text = f"{abs(value):.2f}".rstrip("0").rstrip(".")
    return text if float(text) == 0 else (MINUS if value < 0 else "") + text


def _no_finer(value: float, half: float) -> float:
    """Rounded as an interval of this half width allows."""
    return round(value, 0 if half >= 1 else 1 if half >= 0.1 else 2)


def with_unit(value: float | None, unit: str = "", signed: bool = False) -> str:
    """A value with its unit: 44°, +9%, 1.4 × shoulder width. A dash when there is no value."""
    if value is None:
        return "\u2013"
    return number(value, signed) + _joined(unit)


def sign_of(unit: str) -> str:
    """A unit without what it is of, where that was said just before: "%" of "% of arm length", "×" of "× shoulder width"."""
    return unit.partition(" ")[0]


def of_what(unit: str) -> str:
    """The rest of it: "of arm length", "shoulder width", "" for a plain unit."""
    return unit.partition(" ")[2]


def plus_minus(value: float | None, interval: Sequence[float] | None, unit: str = "") -> str:
    """A reading with its uncertainty for a table, the unit once and last, and no finer than the uncertainty.

    >>> plus_minus(11.2, (3.2, 19.2), "% of foot spacing"), plus_minus(44, (39, 50), "°"), plus_minus(1.63, (1.4, 1.8), "×")
    ('11 ± 8% of foot spacing', '44 ± 6°', '1.6 ± 0.2\u202f×')
    """
    if value is None or interval is None:
        return measured(value, interval, unit)
    half = max(value - interval[0], interval[1] - value)
    amounts = {"value": number(_no_finer(value, half)), "half": number(_no_finer(half, half))}
    return _("%(value)s ± %(half)s") % amounts + _joined(unit)


def _joined(unit: str) -> str:
    if not unit:
        return ""
    return unit if unit.startswith(("°", "%")) else THIN + unit


def give_or_take(value: float | None, interval: Sequence[float] | None, unit: str = "") -> str:
    """Half the width of the interval in words, or nothing. It stands beside the value, which says what a share is of."""
    if value is None or interval is None:
        return ""
    half = (interval[1] - interval[0]) / 2
    return _("give or take %(amount)s") % {"amount": with_unit(_no_finer(half, half), sign_of(unit))}


def band_words(band: Sequence[float | None] | None, unit: str = "") -> str:
    """A band in a table: 25 to 60°, at most 45°. A dash where nothing is wanted."""
    low, high = band if band else (None, None)
    if low is None and high is None:
        return "\u2013"
    if low is None:
        return _("at most %(high)s") % {"high": _edge(high, unit)}
    if high is None:
        return _("at least %(low)s") % {"low": _edge(low, unit)}
    return _("%(low)s to %(high)s") % {"low": _exactly(low), "high": _edge(high, unit)}


def _edge(end: float | None, unit: str) -> str:
    return with_unit(None) if end is None else _exactly(end) + _joined(unit)


def wanted_words(band: Sequence[float | None] | None, unit: str = "") -> str:
    """The band in words beside a value: wanted: 25 to 60°, wanted: at least 80% (of what, the value says)."""
    low, high = band if band else (None, None)
    if low is None and high is None:
        return ""
    if low is None:
        return _("wanted: at most %(high)s") % {"high": _edge(high, sign_of(unit))}
    if high is None:
        return _("wanted: at least %(low)s") % {"low": _edge(low, sign_of(unit))}
    return _("wanted: %(low)s to %(high)s") % {"low": _exactly(low), "high": _edge(high, sign_of(unit))}


def strip_label(
    value: float | None,
    interval: Sequence[float] | None,
    band: Sequence[float | None] | None,
    unit: str = "",
    swings: Sequence[float] = (),
) -> str:
    """What a screen reader says in place of the strip; `swings` are the values of the single swings behind it."""
    parts = [_("not read")] if value is None else [measured(value, interval, unit, band), give_or_take(value, interval, unit)]
    return ", ".join(part for part in [*parts, wanted_words(band, unit), swings_words(swings, interval, unit)] if part)


def swings_words(swings: Sequence[float], interval: Sequence[float] | None, unit: str = "") -> str:
    """The values of single swings, no finer than the clip's: "single swings: 41°, 44°, 52°"; nothing for fewer than two."""
    if len(swings) < 2:
        return ""
    return _("single swings: %(values)s") % {
        "values": ", ".join(measured(one, interval, sign_of(unit)) for one in swings)
    }
