"""The first two tables of the page, by rows worked by hand."""

from __future__ import annotations

from analysis.validate.glance import errors, rest
from analysis.validate.judged import Counted, Judged, Timed, Told

BAND = (15.0, 50.0)


def knee(value: float | None, at_any_width: float | None, truth: float = 30.0, call: str = "in range") -> Told:
    interval = None if value is None else (value - 6.0, value + 6.0)
    return Told(1, "side", 60, "down_front_knee", truth, value, interval, BAND, call, at_any_width)


def cells(table: str, start: str) -> list[str]:
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()]
    return next(row for row in rows if row[0].startswith(start))


def test_errors_of_every_value_and_of_those_that_are_told() -> None:
    told = [knee(32.0, 32.0), knee(None, 20.0, call="not readable"), knee(None, None, call="not readable")]
    table = errors(told, told)
    assert cells(table, "bend of the knees")[1:] == ["≤ 5", "**6.0**", "2.0", "33%", "–", "–", "–"]


def test_the_bat_is_told_of_where_it_is_in_sight() -> None:
    bat = Told(1, "along", 60, "down_bat_angle", 40.0, 43.0, (30.0, 56.0), (20.0, 80.0), "in range", 43.0)
    assert cells(errors([], [bat]), "angle of the bat")[1:] == ["≤ 4", "–", "–", "–", "3.0", "3.0", "100%"]
    assert cells(errors([bat], []), "angle of the bat")[5] == "–"


def test_an_instant_that_was_not_found_is_not_within_a_frame() -> None:
    timed = [Timed(n, "side", 60, "foot_down", off, 1.0) for n, off in enumerate([0.5, -1.0, 1.2, None])]
    assert cells(rest(Judged(timed=timed)), "foot down within 1 frame")[2].startswith("50% (")


def test_a_clip_without_a_swing_may_still_show_a_checked_one() -> None:
    counted = [Counted(1, "side", 60, "walking", 0, 0, None, 1), Counted(2, "side", 60, "walking", 0, 0, None)]
    table = rest(Judged(counted=counted))
    assert cells(table, "no swing found")[2].startswith("100% (")
    assert cells(table, "… nor a checked one")[2].startswith("50% (")


def test_checkpoints_whose_intervals_hold_too_often_or_too_seldom_are_not_counted() -> None:
    held, missed = knee(30.0, 30.0), knee(30.0, 30.0, truth=40.0)
    row = "checkpoints whose 90 %"
    assert cells(rest(Judged([held] * 27 + [missed] * 3)), row)[2] == "1 of 1 (90%–90%)"
    assert cells(rest(Judged([held] * 30)), row)[2] == "0 of 1 (100%–100%)"
    assert cells(rest(Judged([held] * 10)), row)[2] == "–"


def test_faults_are_called_of_what_is_read_alone() -> None:
    table = rest(Judged([knee(30.0, 30.0), knee(None, 20.0, call="not readable")]))
    assert cells(table, "2 half-widths outside a band laid so")[2] == "100%"
    assert cells(table, "sound: not readable")[2] == "50%"


def test_faults_of_the_clips_themselves_are_told_of_those_read_and_of_all() -> None:
    far = knee(90.0, 90.0, truth=90.0, call="out of range")
    table = rest(Judged([far, far, knee(None, 90.0, truth=90.0, call="not readable"), knee(30.0, 30.0)]))
    start = "2 half-widths or more outside the book's band"
    assert cells(table, f"{start}, of those read")[2].startswith("100% (")
    assert cells(table, f"{start}, of all")[2].startswith("67% (")
