"""External validation: what reading says of films that another generator made, beside their truth.

    python -m tests.lift.external [--films FILE] [--rows]

prints, by group of views, how each instant and each reading does; ``--rows`` adds every interval that misses its truth. Nothing of the
method was fitted, calibrated or chosen by these films, and nothing ever may be; they showed where drawn motion was too narrow, which method
14 widened (README.md, "Yet another hand").
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from analysis.read import CHECKPOINTS, INSTANTS, read
from analysis.read.result import Film, Reading, Swing
from analysis.tracks import Tracks

from .external_store import FilmTruth, load
from .judge import group_of

__all__ = ["FILMS", "READINGS", "Judged", "Row", "Summary", "judged", "report", "summary"]

FILMS = Path(__file__).parent / "data" / "external-films.npz"
LEVEL = "youth"  # whose bands are asked, whatever the hitter's age
NEAR_S = 0.3  # of life: a swing is the true one where its contact is as near
READINGS = tuple(checkpoint.id for checkpoint in CHECKPOINTS)


@dataclass(frozen=True)
class Row:
    """A value beside its truth: an instant in ms of life from the film's first frame, or a reading in its checkpoint's unit.

    value  None where it is not told; interval  the 90 % interval, None with it
    wrong  the call is of another side of the band than the truth: "too close to call" is none
    """

    film: int
    group: str  # side, along, or between
    name: str
    truth: float
    value: float | None
    interval: tuple[float, float] | None
    wrong: bool

    @property
    def holds(self) -> bool:
        """Whether the truth lies within the interval."""
        return self.interval is not None and self.interval[0] <= self.truth <= self.interval[1]


@dataclass(frozen=True)
class Judged:
    """What is found in a film: ``found`` its true swing, ``false`` how many others that reach contact; ``slowdown`` as told."""

    truth: FilmTruth
    found: bool
    false: int
    hand: str | None
    view: str
    slowdown: float | None
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Summary:
    """Rows of one kind together, in their unit; NaN where none of them is told."""

    count: int
    told: int
    error: float  # mean absolute
    bias: float  # mean of told minus true
    half: float  # mean half width of the intervals
    held: float  # share of the intervals that hold
    wrong: int  # calls


def judged(path: Path = FILMS) -> list[Judged]:
    """All films of a file, read and judged."""
    return [_judged(tracks, truth) for tracks, truth in load(path)]


def summary(rows: Iterable[Row]) -> Summary:
    """Some rows together."""
    every = list(rows)
    told = [row for row in every if row.value is not None and row.interval is not None]
    off = np.array([row.value - row.truth for row in told if row.value is not None])
    half = np.array([(row.interval[1] - row.interval[0]) / 2 for row in told if row.interval is not None])
    error, bias, width, held = (
        float(np.mean(values)) if told else float("nan")
        for values in (np.abs(off), off, half, [row.holds for row in told])
    )
    return Summary(len(every), len(told), error, bias, width, held, sum(row.wrong for row in every))


def _judged(tracks: Tracks, truth: FilmTruth) -> Judged:
    result = read(tracks, level=LEVEL)
    full = [swing for swing in result.swings if swing.reaches_contact]
    true = next((swing for swing in full if _is_true(swing, truth)), None)
    rows = () if true is None else (*_instants(true, truth), *_readings(true, truth))
    film, others = result.film, len(full) - (true is not None)
    return Judged(truth, true is not None, others, film.hand, film.view, _slowdown(film), rows)


def _is_true(swing: Swing, truth: FilmTruth) -> bool:
    """Whether a swing that was found is the film's."""
    told = swing.instants["contact"].time_s
    if told is None or not truth.instants:
        return False
    return abs(told - truth.instants["contact"]) < NEAR_S * truth.slowdown


def _slowdown(film: Film) -> float | None:
    """How many times slower than life the film is told to run; None where it is suspect and nothing is proposed."""
    return film.speed_proposed if film.speed_suspect else film.speed_factor


def _ms(seconds: float, truth: FilmTruth) -> float:
    """Film time, s, as ms of life."""
    return seconds * 1000 / truth.slowdown


def _instants(swing: Swing, truth: FilmTruth) -> list[Row]:
    rows = []
    for name, time in truth.instants.items():
        told = swing.instants[name]
        value = None if told.time_s is None else _ms(told.time_s, truth)
        interval = told.interval_s and (_ms(told.interval_s[0], truth), _ms(told.interval_s[1], truth))
        rows.append(Row(truth.number, _group(truth), name, _ms(time, truth), value, interval, False))
    return rows


def _readings(swing: Swing, truth: FilmTruth) -> list[Row]:
    return [
        Row(truth.number, _group(truth), name, true, told.value, told.interval, _is_wrong(told, true))
        for told in swing.readings
        if (true := truth.readings.get(name := told.checkpoint)) is not None
    ]


def _group(truth: FilmTruth) -> str:
    return group_of(truth.azimuth)


def _is_wrong(told: Reading, true: float) -> bool:
    """Whether a call names another side of the band than the truth lies on."""
    if told.value is None or told.call not in ("in range", "out of range"):
        return False
    side = 0 if told.call == "in range" else _side(told.value, told.band)
    return side != _side(true, told.band)


def _side(value: float, band: tuple[float | None, float | None]) -> int:
    """-1 below the band, 1 above it, 0 within."""
    low, high = band
    if low is not None and value < low:
        return -1
    return int(high is not None and value > high)


def report(films: list[Judged], misses: bool = False) -> str:
    """What is found, one line per instant, reading and group of views, and what all readings together do; as Markdown."""
    rows = [row for film in films for row in film.rows]
    lines = [
        *_found(films),
        "",
        "| what | view | n | told | mean abs. error | bias | half width | held | wrong calls |",
        "|---|---|--:|--:|--:|--:|--:|--:|--:|",
    ]
    for group in sorted({row.group for row in rows}, reverse=True):
        lines += _lines(group, [row for row in rows if row.group == group])
    if misses:
        lines += ["", *(_miss(row) for row in rows if row.interval is not None and not row.holds)]
    return "\n".join(lines)


def _found(films: list[Judged]) -> list[str]:
    """What is found in the films, in words."""
    swings = [film for film in films if film.truth.instants]
    others = [film for film in films if not film.truth.instants]
    slowed = [film for film in films if film.truth.slowdown > 1]
    hands, views = (sum(getattr(f, what) == getattr(f.truth, what) for f in swings) for what in ("hand", "view"))
    found, taken = sum(f.found for f in swings), sum(f.slowdown != 1 for f in films if f.truth.slowdown == 1)
    false = sum(f.false for f in swings)
    return [
        f"{len(swings)} films of a swing: found {found}, false beside it {false}, hand right {hands}, view right {views}",
        f"{len(others)} without one: a swing found in {sum(f.false > 0 for f in others)}",
        *(
            f"film {f.truth.number}, slowed {f.truth.slowdown} times: told {'nothing' if f.slowdown is None else f'{f.slowdown:g}'}"
            for f in slowed
        ),
        f"{len(films) - len(slowed)} at true speed: taken for slowed {taken}",
    ]


def _lines(group: str, rows: list[Row]) -> list[str]:
    """One line per instant and reading of a group of views, and one of all readings together."""
    named = {name: f"{name}, ms" for name in INSTANTS} | {name: name for name in READINGS}
    own = {name: summary(row for row in rows if row.name == name) for name in named}
    every = summary(row for row in rows if row.name in READINGS)
    return [
        *(_line(named[name], group, each) for name, each in own.items() if each.count),
        f"| all readings | {group} | {every.count} | {every.told} | | | | {every.held:.1%} | {every.wrong} |",
    ]


def _line(name: str, group: str, own: Summary) -> str:
    sizes = " | ".join(_size(value) for value in (own.error, own.bias, own.half))
    told = f"{sizes} | {own.held:.0%}" if own.told else "| | |"
    return f"| {name} | {group} | {own.count} | {own.told} | {told} | {own.wrong or ''} |"


def _size(value: float) -> str:
    return f"{value:.1f}" if abs(value) >= 1 else f"{value:.2f}"


def _miss(row: Row) -> str:
    assert row.interval is not None
    return f"film {row.film:02d} {row.name}: {row.value:.1f} ({row.interval[0]:.1f} to {row.interval[1]:.1f}), true {row.truth:.1f}"


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Judge reading by films that another generator made.")
    parser.add_argument("--films", type=Path, default=FILMS, help="as tests.lift.external_store packs them")
    parser.add_argument("--rows", action="store_true", help="every interval that misses its truth, too")
    wish = parser.parse_args()
    print(report(judged(wish.films), wish.rows))


if __name__ == "__main__":
    main()
