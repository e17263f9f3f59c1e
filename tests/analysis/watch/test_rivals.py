"""Who holds the bat: a drawn hitter beside a thrower, larger and with quicker hands (`python -m tests.lift.beside 16 1070`)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from analysis.watch.container import read_header
from analysis.watch.follow import Walk
from analysis.watch.hitter import ranked
from analysis.watch.models import Model, ModelError, find_model
from analysis.watch.pose import Landmarker
from analysis.watch.progress_protocol import silent
from analysis.watch.rivals import chances_of_a_bat, hitter_of
from analysis.watch.run import Found, find_people
from tests.analysis.watch.test_hitter import times, walk

FILM = Path(__file__).parent / "data" / "thrower_beside.mp4"
BETWEEN_PX = 500.0  # the hitter stands left of it, the thrower right


@pytest.fixture(scope="module")
def lite() -> Model:
    try:
        return find_model("lite")
    except ModelError as error:
        pytest.skip(str(error))


@pytest.fixture(scope="module")
def found(lite: Model) -> Found:
    return find_people(FILM, read_header(FILM), lite, silent)


def is_left(person: Walk) -> bool:
    return float(np.median([pose.region.x for pose in person.poses])) < BETWEEN_PX


@pytest.mark.films
def test_the_hitter_is_who_holds_the_bat_not_whose_hands_are_quickest(found: Found, lite: Model) -> None:
    strongest = ranked(found.walks, found.time_s)[0][1]
    assert not is_left(strongest)  # else this film shows nothing
    landmarker = Landmarker(lite)
    chosen = hitter_of(FILM, found.walks, found.time_s, found.camera, found.background, landmarker)
    assert chosen is not None
    assert is_left(chosen)


@pytest.mark.films
def test_chances_of_a_bat_in_hitters_and_throwers_hands_lie_far_apart(found: Found, lite: Model) -> None:
    both = sorted(
        (person for _, person in ranked(found.walks, found.time_s)[:2]), key=lambda person: not is_left(person)
    )
    hitter, thrower = chances_of_a_bat(FILM, both, found.time_s, found.camera, found.background, Landmarker(lite))
    assert hitter > 0.6
    assert thrower < 0.4


def test_where_nobody_comes_near_the_film_is_not_opened_again(tmp_path: Path) -> None:
    onlooker, hitter = walk(200, 900), walk(40, 200, swing_at=1.0)
    camera = np.tile(np.eye(3), (len(times()), 1, 1))
    nowhere, nobody = tmp_path / "not there.mp4", None
    assert hitter_of(nowhere, [onlooker, hitter], times(), camera, None, nobody) is hitter
    assert hitter_of(nowhere, [], times(), camera, None, nobody) is None
