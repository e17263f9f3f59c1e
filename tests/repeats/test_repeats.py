"""A committed film, sent in two other ways: how far what is read of it moves. All five, of all films: `python -m tests.repeats`.

The aim is 1 degree, 1 % and the same frame; the limits are what was reached when they were set, a little rounded up.
"""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from tests.analysis.measured import FILM, rowan

from .__main__ import LATER, results_of
from .spread import Repeated, repeated

pytestmark = [pytest.mark.films, pytest.mark.slow]

WAYS = ["mirrored", "started later"]  # each is packed anew


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Repeated:
    """As it is the film was watched by the command, with another beginning of its times in the file, which reading never sees."""
    tracks = tmp_path_factory.mktemp("tracks")
    shutil.copy(rowan() / "r.tracks.npz", tracks / f"{FILM.stem}.npz")
    return repeated(results_of(FILM, tracks, WAYS), LATER)


def deviations(told: Repeated, unit: str) -> np.ndarray:
    """Of the body's readings; a bat seen in few frames of thirty a second is another matter (14 degrees here)."""
    own = [sd for name, sd in told.readings.items() if told.units[name].startswith(unit) and "bat" not in name]
    return np.array(own)


def test_every_way_has_the_one_swing(told: Repeated) -> None:
    assert set(told.swings.values()) == {1}


def test_readings_hardly_move(told: Repeated) -> None:
    assert len(deviations(told, "°")) >= 5
    assert np.median(deviations(told, "°")) <= 1.8
    assert deviations(told, "°").max() <= 3.5
    assert np.median(deviations(told, "%")) <= 1.0


def test_foot_down_and_contact_hardly_leave_their_frame(told: Repeated) -> None:
    assert told.instants["1 contact"] <= 2
    assert told.instants["1 foot_down"] <= 1


def test_the_other_instants_move_by_a_few_frames(told: Repeated) -> None:
    assert max(told.instants.values()) <= 4
