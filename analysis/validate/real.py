"""Tables of real pictures: a person before four cameras, clips labelled by eye, and films sent in several ways."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from analysis.validate.tables import number, table
from tests.four_cameras.angles import BENDS, LINES, all_compared
from tests.four_cameras.limit import limits
from tests.real_clips.judged import Label, Off, Seen, false_swings, kept, labels, matched, offs

__all__ = ["four_cameras", "four_cameras_limit", "real_clips", "repeats"]

REPEATS = Path(__file__).parents[2] / "tests" / "repeats" / "data" / "repeats.json"


def four_cameras() -> str:
    """Mean absolute errors of one view against four, of the lift and of the world landmarks."""
    names, lines, every = [*BENDS, *LINES], [], []
    for camera in all_compared():
        for who, errors in (("lift", camera.lift), ("world landmarks", camera.world)):
            own = [float(np.nanmean(errors[name])) for name in names]
            every.append((who, own))
            lines.append([camera.camera, who, *(number(value) for value in [*own, float(np.mean(own))])])
    for who in ("lift", "world landmarks"):
        mean = np.mean([own for name, own in every if name == who], axis=0)
        lines.append(["**all**", who, *(number(value) for value in [*mean, float(np.mean(mean))])])
    return table(["camera", "by", *names, "mean"], lines)


def four_cameras_limit() -> str:
    """How near one view could come with better keypoints, and how unsure the four cameras are themselves."""
    every = limits()
    rows = [
        ("keypoints exactly where the four cameras have them", [one.placed for one in every]),
        ("keypoints and world landmarks a quarter as wrong", [one.nearly for one in every]),
        ("the other three cameras together", [one.others for one in every]),
    ]
    heads = ["mean error, °", *(one.camera for one in every), "mean"]
    return table(heads, [[words, *(number(value) for value in [*own, float(np.mean(own))])] for words, own in rows])


def repeats() -> str | None:
    """How far readings and instants moved from one way of sending a film to the next; None where nobody tried."""
    if not REPEATS.exists():
        return None
    heads = [
        "film", "swings found", "readings in °: median SD", "worst", "in %: median SD", "worst", "not always readable", "call changes",
        "instants: same frame", "≤ 1 frame", "worst", "contact: worst", "foot down: worst",
    ]  # fmt: skip
    every = json.loads(REPEATS.read_text())
    return table(heads, [_repeated(film, told) for film, told in every.items()]) + "\n\n" + _all_repeated(list(every.values()))


def _all_repeated(every: list[dict[str, Any]]) -> str:
    """In words: of all films, how many readings and instants stay where they should, and how far against what intervals allow for."""
    words, sharp = [], ("contact", "foot_down")
    for unit, name in (("°", "degree"), ("%", "per cent")):
        own = [sd for told in every for at, sd in told["readings"].items() if told["units"][at].startswith(unit)]
        words.append(f"{np.mean(np.array(own) <= 1):.0%} of {len(own)} within 1 {name}")
    shares = [sd / told["halves"][at] for told in every for at, sd in told["readings"].items()]
    for name, ends in (("instants", ("",)), ("contact and foot down", sharp)):
        moved = np.array([by for told in every for at, by in told["instants"].items() if at.endswith(ends)])
        words.append(f"{np.mean(moved == 0):.0%} of {len(moved)} {name} on the same frame, {np.mean(moved <= 1):.0%} within one")
    half, most = np.median(shares), np.quantile(shares, 0.9)
    return (
        f"Together: readings {words[0]}, {words[1]}; {words[2]}; {words[3]}. A reading moves by {half:.0%} of half its 90 % interval in "
        f"the median, and by {most:.0%} or more in one of ten."
    )


def _repeated(film: str, told: dict[str, Any]) -> list[str]:
    cells = [film, " ".join(str(count) for count in told["swings"].values())]
    for unit in ("°", "%"):
        own = [sd for name, sd in told["readings"].items() if told["units"][name].startswith(unit)]
        cells += [number(float(np.median(own)) if own else np.nan), number(max(own, default=np.nan))]
    moved = np.array(list(told["instants"].values()))
    shares = [f"{np.mean(moved <= reach):.0%}" if moved.size else "–" for reach in (0, 1)]
    worst = [
        max((by for name, by in told["instants"].items() if name.endswith(which)), default=np.nan)
        for which in ("", "contact", "foot_down")
    ]
    return [*cells, str(told["lost"]), str(told["calls"]), *shares, *(number(float(by), 0) for by in worst)]


def real_clips() -> list[str]:
    """What was read of real clips against what eyes saw: a row for each clip, one for each instant, and the totals in words."""
    about, seen = labels(), kept()
    every = {name: offs(name, seen[name], label) for name, label in about.items() if name in seen}
    heads = [
        "clip", "what it shows", "people", "looked at before", "swings by eye", "found", "false", "checked", "hand", "view",
        "slowed, said", "hips from the hitter's",
    ]  # fmt: skip
    rows = [_clip(name, label, seen[name]) for name, label in about.items() if name in seen]
    instants = table(
        ["clip", "swing", "instant", "by eye", "read", "frames off", "90 % interval", "holds"],
        [_instant(off) for rows_of in every.values() for off in rows_of],
    )
    return [table(heads, rows), instants, _totals(about, seen, [off for rows_of in every.values() for off in rows_of])]


def _clip(name: str, label: Label, seen: Seen) -> list[str]:
    found = sum(n is not None for n in matched(seen, label))
    return [
        name, label.shows, str(label.people), label.looked_at_before, str(len(label.swings)), str(found),
        str(false_swings(seen, label)), str(seen.checked), _said(label.hand, seen.hand), _said(label.view, seen.view),
        f"{label.slowed}, {'not told' if seen.slowed is None else number(seen.slowed, 0)}",
        "–" if seen.hitter is None else f"{seen.hitter:.2f} heights",
    ]  # fmt: skip


def _said(by_eye: str | None, read: str | None) -> str:
    """What was read, where eyes could say it, too."""
    if by_eye is None:
        return "–"
    return f"{read}, right" if read == by_eye else f"**{read}**, not {by_eye}"


def _instant(off: Off) -> list[str]:
    between = "–" if off.interval is None else f"{off.interval[0]:.1f} … {off.interval[1]:.1f}"
    return [
        off.clip, str(off.swing), off.instant, f"{off.seen:g} ± {off.doubt:g}", _or_dash(off.read), _or_dash(off.frames), between,
        "–" if off.interval is None else "yes" if off.held else "**no**",
    ]  # fmt: skip


def _or_dash(value: float | None) -> str:
    return "–" if value is None else number(value)


def _totals(about: dict[str, Label], seen: dict[str, Seen], every: list[Off]) -> str:
    swings = sum(len(label.swings) for name, label in about.items() if name in seen)
    found = sum(n is not None for name in seen for n in matched(seen[name], about[name]))
    without = [name for name in seen if not about[name].swings]
    none_in = sum(not seen[name].swings for name in without)
    false = sum(false_swings(seen[name], about[name]) for name in seen)
    return (
        f"Of {swings} swings {found} are found; false ones: {false}. Of {len(without)} clips without a swing {none_in} are read as such. "
        f"Of {len(every)} instants {sum(off.read is not None for off in every)} are told; "
        f"{sum(off.within for off in every)} lie as near as the eye was sure and a frame more, "
        f"and {sum(off.held for off in every)} intervals hold."
    )
