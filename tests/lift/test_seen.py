"""What is put into the tracks of drawn clips beside the body: a plate that shows the line, and a bat about where it is."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read import read
from analysis.read.geometry import turn_between
from analysis.read.ground import read_plate
from tests.lift.judge import SAMPLE
from tests.lift.mirror import mirror_image
from tests.lift.samples import tracks_of
from tests.lift.seen import bat_seen, held_by_hand, plate_corners, plate_seen
from tests.lift.store import Kept, load

LOOKED = next(clip for clip in load(SAMPLE.with_name("bat-sample.npz")) if clip.kind == 0 and clip.mirrored)
SWINGS = [clip for clip in load(SAMPLE) if clip.kind == 0][::4]

each_swing = pytest.mark.parametrize("clip", SWINGS, ids=lambda clip: f"{clip.number}")


def ahead_of(clip: Kept) -> float:
    """Where the line to the pitcher runs on the camera's axes, degrees: 0 to the right of the picture, 90 away."""
    return float(np.degrees(np.arctan2(clip.axes[0, 2], clip.axes[0, 0])))


def test_there_are_swings_of_both_hands() -> None:
    assert {clip.mirrored for clip in SWINGS} == {True, False}


def test_the_plate_shows_the_line_to_the_pitcher() -> None:
    """As well as a phone's focal length and its roll are known."""
    grounds = [(clip, read_plate(plate_corners(clip), clip.size, near=ahead_of(clip))) for clip in SWINGS]
    off = np.array([turn_between(ground.ahead, ahead_of(clip)) for clip, ground in grounds if ground is not None])
    assert len(off) == len(SWINGS)
    assert np.median(np.abs(off)) < 2.5
    assert np.abs(off).max() < 8.0


@each_swing
def test_the_plate_lies_before_the_hitter_on_the_ground(clip: Kept) -> None:
    """On the side to which the hitter faces, below the ankles in the picture of a camera that looks down."""
    field = clip.joints @ clip.axes.T
    knob, barrel = clip.bat[int(np.argmin(np.abs(clip.times - clip.contact)))] @ clip.axes.T
    assert barrel[2] > knob[2]  # the bat is over the plate's side
    assert field[..., 2].mean() < barrel[2]


@each_swing
def test_the_bat_is_seen_in_six_of_ten_frames_about_where_it_is(clip: Kept) -> None:
    tracks = bat_seen(clip, tracks_of(clip))
    assert tracks.bat_is_sure.mean() == pytest.approx(0.6, abs=0.02)
    true = clip.bat[..., :2] / clip.bat[..., 2:] * clip.focal + np.array(clip.size) / 2.0
    own, wanted = (np.diff(ends, axis=1)[:, 0] for ends in (tracks.bat_px.astype(float), true))
    cross = own[:, 0] * wanted[:, 1] - own[:, 1] * wanted[:, 0]
    turns = np.degrees(np.arctan2(cross, np.sum(own * wanted, axis=1)))[tracks.bat_is_sure]
    assert np.abs(turns).mean() == pytest.approx(1.8, abs=0.6)


def truly(clip: Kept) -> np.ndarray:
    """The bat's ends [F, 2, 2] in the picture, px."""
    return np.asarray(clip.bat[..., :2] / clip.bat[..., 2:] * clip.focal + np.array(clip.size) / 2.0)


def test_where_the_pictures_were_looked_through_the_bat_is_what_watching_found() -> None:
    """Ends within 0.08 and 0.15 standing heights, as tests/lift/README.md calls a line right."""
    tracks = tracks_of(LOOKED)
    assert bat_seen(LOOKED, tracks) is tracks
    assert tracks.bat_is_sure.mean() > 0.5
    height = LOOKED.height * LOOKED.focal / LOOKED.joints[:, :2, 2].mean()
    knob, barrel = (np.linalg.norm(tracks.bat_px - truly(LOOKED), axis=2)[tracks.bat_is_sure] / height).T
    assert np.mean((knob < 0.08) & (barrel < 0.15)) > 0.85


def test_the_mirror_and_a_hand_move_the_bat_with_the_picture() -> None:
    other = mirror_image(LOOKED)
    assert other.bat_px is not None
    assert LOOKED.bat_px is not None
    assert np.allclose(other.bat_px - truly(other), (LOOKED.bat_px - truly(LOOKED)) * [-1, 1], equal_nan=True)
    held = held_by_hand(LOOKED, tracks_of(LOOKED))
    back = np.einsum(
        "fij,fkj->fki", held.camera, np.concatenate([held.bat_px, np.ones((len(held.bat_px), 2, 1))], axis=2)
    )
    off = np.linalg.norm(back[..., :2] / back[..., 2:] - LOOKED.bat_px, axis=2)
    assert np.nanmax(np.linalg.norm(held.bat_px - LOOKED.bat_px, axis=2)) > 30.0
    assert np.nanmax(off) < 4.0  # px: how far beside itself the turn is found


def test_the_same_clip_is_seen_the_same_way() -> None:
    first, again = (plate_seen(SWINGS[0], bat_seen(SWINGS[0], tracks_of(SWINGS[0]))) for _ in range(2))
    assert np.array_equal(first.bat_px, again.bat_px, equal_nan=True)
    assert np.array_equal(first.plate_px, again.plate_px)


def test_a_hand_turns_the_picture_by_more_than_a_step() -> None:
    """Else the next test would say nothing."""
    moved = [np.nanmax(np.abs(held_by_hand(clip, tracks_of(clip)).keypoints_px - clip.keypoints)) for clip in SWINGS]
    assert np.median(moved) > 30.0


@pytest.mark.slow
def test_a_film_from_a_hand_is_read_like_one_that_stands_still() -> None:
    """Degrees and percent; of 114 tuning swings half of the readings change by less than 0.2."""
    changes = []
    for clip in SWINGS:
        still, held = (read(tracks).swings for tracks in (tracks_of(clip), held_by_hand(clip, tracks_of(clip))))
        assert len(still) == len(held) == 1
        for one, other in zip(still[0].readings, held[0].readings, strict=True):
            if one.value is not None and other.value is not None and one.unit != "ms":
                changes.append(abs(one.value - other.value))
    assert len(changes) > 100
    assert np.median(changes) < 0.3
    assert np.quantile(changes, 0.95) < 2.0
