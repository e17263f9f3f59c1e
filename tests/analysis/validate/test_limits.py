"""What would be left of the errors if what is seen were true."""

from __future__ import annotations

import json

from analysis.validate.curve import REACH, REACH_OF_BAT
from analysis.validate.limits import limits


def cells(start: str) -> list[str]:
    """The cells of the row that begins so."""
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in limits().splitlines()]
    return next(row for row in rows if row[0] == start)


def test_each_limit_is_the_number_that_was_tried() -> None:
    tried = json.loads(REACH.read_text())["points"]
    exact = next(point["told"] for point in tried if point["errors"] == 0.0 and not point["learned body"])
    quarter = next(point["told"] for point in tried if point["errors"] == 0.25 and point["learned body"])
    assert [float(cell) for cell in cells("knees, °")[3:5]] == [round(exact["knees"], 1), round(quarter["knees"], 1)]
    bat = {point["known"]: point["told"]["side"] for point in json.loads(REACH_OF_BAT.read_text())["points"]}
    assert float(cells("angle of the bat, °")[3]) == round(bat["true ends and length"], 1)


def test_what_is_known_besides_brings_each_number_nearer() -> None:
    for name in ("knees, °", "shoulders, °", "hips, °", "angle of the bat, °"):
        alone, all_known = (float(cell) for cell in cells(name)[3:5])
        assert all_known < alone, name
    for name in ("foot down within a frame", "swing start within two"):
        alone, all_known = (float(cell.rstrip("%")) for cell in cells(name)[3:5])
        assert all_known > alone, name
