"""What counts as moved, by results made by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.read import CHECKPOINTS, INSTANTS, Film, Instant, Reading, Result, Swing

from .spread import repeated

KNEE = "down_front_knee"


def result(value: float | None, call: str = "in range", frame: int = 50, swings: int = 1) -> Result:
    film = Film("chest_side", 1.0, "measured", "right", 1.0, "measured", 1.0, "measured", False, 60.0)
    entry = next(entry for entry in CHECKPOINTS if entry.id == KNEE)
    interval = None if value is None else (value - 5, value + 5)
    reading = Reading(KNEE, "foot_down", value, "°", interval, (15.0, 50.0), entry.scale, call)
    instants = {name: Instant(frame, frame / 60, (0.0, 1.0), "measured") for name in INSTANTS}
    return Result({}, film, tuple(Swing(n, 0, 99, True, instants, (reading,)) for n in range(swings)))


def test_the_deviation_of_a_reading_over_the_ways() -> None:
    told = repeated({"as it is": result(30.0), "scaled": result(32.0), "cropped": result(31.0)}, {})
    assert told.readings == {f"1 {KNEE}": pytest.approx(1.0)}
    assert (told.units[f"1 {KNEE}"], told.lost, told.calls) == ("°", 0, 0)


def test_a_reading_that_is_lost_and_a_call_that_changes_are_counted() -> None:
    ways = {
        "as it is": result(48.0, "too close to call"),
        "scaled": result(44.0),
        "cropped": result(None, "not readable"),
    }
    told = repeated(ways, {})
    assert (told.lost, told.calls) == (1, 1)


def test_a_film_that_starts_later_has_its_instants_as_much_earlier() -> None:
    told = repeated({"as it is": result(30.0, frame=50), "started later": result(30.0, frame=43)}, {"started later": 7})
    assert set(told.instants.values()) == {0.0}
    assert set(repeated({"as it is": result(30.0), "scaled": result(30.0, frame=52)}, {}).instants.values()) == {2.0}


def test_a_swing_is_compared_with_the_one_at_the_same_time() -> None:
    """One way misses the first of two swings: its only one is the second."""
    both = result(30.0, swings=2)
    first, second = both.swings
    second = replace(second, start_frame=200, end_frame=299, readings=(replace(second.readings[0], value=40.0),))
    both = replace(both, swings=(first, second))
    told = repeated(
        {"as it is": both, "scaled": both, "cropped": replace(both, swings=(replace(second, index=0),))}, {}
    )
    assert told.swings == {"as it is": 2, "scaled": 2, "cropped": 1}
    assert told.readings == {f"1 {KNEE}": 0.0, f"2 {KNEE}": 0.0}
    assert told.lost == 1


def test_an_instant_that_was_not_found_moves_nothing() -> None:
    blind = result(30.0)
    gone = {name: Instant(None, None, None, "measured", "no") for name in INSTANTS}
    blind = replace(blind, swings=(replace(blind.swings[0], instants=gone),))
    assert repeated({"as it is": result(30.0), "scaled": blind}, {}).instants == {}
