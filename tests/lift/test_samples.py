"""What the lift and the networks over time are fitted to: no side, axis or sign is another than reading's."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from analysis.read.lift import JOINT_KEYPOINTS, JOINTS, OUTPUTS, features, mirrored
from tests.lift import errors as seen_errors
from tests.lift import samples as prepared
from tests.lift.errors import Errors, stretched
from tests.lift.mirror import OTHER_JOINT as OTHER
from tests.lift.mirror import mirror_image
from tests.lift.moves import Moves, open_moves, save_moves, seen_by_hand
from tests.lift.moves import _of as move_of
from tests.lift.samples import answers, motion_of, samples, slowed, to_ray, tracks_of
from tests.lift.store import Kept, load

SAMPLE = Path(__file__).parent / "data" / "judge-sample.npz"
CLIPS = [clip for clip in load(SAMPLE) if clip.kind == 0][:4]
clips = pytest.mark.parametrize("clip", CLIPS, ids=lambda clip: f"judge {clip.number}")


def truth_of(clip: Kept) -> np.ndarray:
    """The true joints [F, J, 3] that the lift should answer."""
    return answers(clip)[:, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)


def rows_of(clip: Kept) -> np.ndarray:
    """The lift's input [F, D]."""
    motion = motion_of(clip)
    return features(motion, np.arange(len(motion.times)))


@clips
def test_answers_lie_where_the_picture_shows_the_joints(clip: Kept) -> None:
    motion, truth = motion_of(clip), truth_of(clip)
    seen = motion.steady[:, list(JOINT_KEYPOINTS)] * [1, -1]
    seen = (seen - seen[:, :2].mean(axis=1, keepdims=True)) / motion.height_px[:, None, None]
    off = np.nanmean(np.abs(seen - truth[..., :2]), axis=(0, 2))
    assert off.max() < 0.05
    for wrong in (truth[:, OTHER], truth * [-1, 1, 1], truth * [1, -1, 1]):
        assert np.nanmean(np.abs(seen - wrong[..., :2])) > 2 * off.mean()


@clips
def test_answers_lie_as_deep_as_the_learned_body_says(clip: Kept) -> None:
    motion, truth = motion_of(clip), truth_of(clip)
    deep = motion.world[:, list(JOINT_KEYPOINTS), 2] / motion.height_m
    good = np.isfinite(deep)
    assert np.corrcoef(deep[good], truth[..., 2][good])[0, 1] > 0.4  # 0.50 to 0.9


@clips
def test_up_is_against_gravity(clip: Kept) -> None:
    up = answers(clip)[:, -3:]
    assert np.allclose(np.linalg.norm(up, axis=1), 1.0, atol=1e-3)
    head, feet = (truth_of(clip)[:, [JOINTS.index(name)]] for name in ("nose", "left_ankle"))
    assert (np.sum((head - feet)[:, 0] * up, axis=1) > 0.5).all()


@clips
def test_bones_keep_their_length_in_the_answers(clip: Kept) -> None:
    for side in ("left", "right"):
        knee, ankle = (truth_of(clip)[:, JOINTS.index(f"{side}_{joint}")] for joint in ("knee", "ankle"))
        shank = np.linalg.norm(knee - ankle, axis=1)
        assert 0.18 < shank.mean() < 0.32
        assert shank.std() < 0.003


def test_ray_axes_are_a_turn_with_the_hitter_straight_ahead() -> None:
    hips = np.array([[0.0, 0.0, 4.0], [1.5, 0.4, 5.0]])
    turn = to_ray(hips)
    assert np.allclose(turn @ turn.swapaxes(1, 2), np.eye(3))
    assert np.allclose(np.einsum("fij,fj->fi", turn, hips), [[0, 0, 4], [0, 0, np.linalg.norm(hips[1])]])
    # A camera's y runs down, that of a ray up.
    assert np.allclose(turn[0], np.diag([1, -1, 1]))


@clips
def test_a_mirrored_clip_gives_mirrored_samples(clip: Kept) -> None:
    image = mirror_image(clip)
    assert np.allclose(truth_of(image), truth_of(clip)[:, OTHER] * [-1, 1, 1], atol=1e-5)
    assert np.allclose(rows_of(image), mirrored(rows_of(clip)), atol=1e-4)


def test_samples_are_frames_that_were_seen_with_the_time_since_contact(monkeypatch: pytest.MonkeyPatch) -> None:
    clip = CLIPS[0]
    monkeypatch.setattr(prepared, "load", lambda path: iter([clip]))
    rows, wanted, facts = samples(SAMPLE)
    assert rows.shape == (len(clip.times), rows_of(clip).shape[1])
    assert wanted.shape == (len(clip.times), OUTPUTS)
    assert np.allclose(wanted, answers(clip))
    assert np.array_equal(np.unique(facts[:, [0, 2]], axis=0), [[clip.number, clip.person]])
    contact = int(np.argmin(np.abs(facts[:, 4])))
    assert facts[contact, 3] == np.argmin(np.abs(clip.times - clip.contact))
    assert np.allclose(np.diff(facts[:, 4]), np.diff(clip.times))


@clips
def test_a_slowed_film_shows_the_same_later(clip: Kept) -> None:
    tracks = tracks_of(clip)
    slow = slowed(tracks, 4)
    assert slow.frames == 4 * (tracks.frames - 1) + 1
    assert np.allclose(slow.keypoints_px[::4], tracks.keypoints_px, equal_nan=True)
    assert np.allclose(slow.time_s[::4], 4 * tracks.time_s)
    assert np.allclose(np.diff(slow.time_s), np.median(np.diff(tracks.time_s)), rtol=0.02)


def test_the_crack_comes_with_the_contact_and_the_way_of_the_sound() -> None:
    clip = CLIPS[0]
    tracks = tracks_of(clip)
    late = float(tracks.sound_peaks_s[0]) - (clip.contact - clip.times[0])
    assert late == pytest.approx(np.linalg.norm(clip.joints[:, :2].mean(axis=(0, 1))) / 343.0)
    loudest = tracks.sound_time_s[np.argmax(tracks.sound_level)]
    assert loudest == pytest.approx(tracks.sound_peaks_s[0], abs=0.0026)


def made(clip: Kept) -> Moves:
    assert clip.truth is not None
    instants = {name: when - float(clip.times[0]) for name, when in clip.truth["instants"].items()}
    move = move_of(clip, "tune", "", instants)
    assert move is not None
    return move


@clips
def test_the_line_of_a_move_runs_from_the_rear_to_the_front_ankle(clip: Kept) -> None:
    move = made(clip)
    front, rear = ("left", "right") if move.hand == "right" else ("right", "left")
    stance = move.times < move.instants["contact"] - 0.4
    way = np.nanmedian(
        move.places[stance, JOINTS.index(f"{front}_ankle")] - move.places[stance, JOINTS.index(f"{rear}_ankle")], axis=0
    )
    off = np.degrees(np.arctan2(way[2], way[0])) - move.ahead
    assert abs((off + 180) % 360 - 180) < 25


@clips
def test_a_hitter_of_the_other_hand_is_looked_at_as_the_mirror_image(clip: Kept) -> None:
    move, image = made(clip), made(mirror_image(clip))
    assert image.hand != move.hand
    centre = move.instants["contact"]
    own, twin = (seen_by_hand(each, centre, 1.2, each.ahead, each.hand) for each in (move, image))
    assert np.allclose(own, twin, atol=2e-3)
    wrong = seen_by_hand(image, centre, 1.2, image.ahead, move.hand)
    assert not np.allclose(own, wrong, atol=0.2)


def test_moves_are_what_they_were_once_kept(tmp_path: Path) -> None:
    every = [made(clip) for clip in CLIPS[:2]]
    save_moves(tmp_path / "moves.npz", every)
    for move, kept in zip(every, open_moves(tmp_path / "moves.npz"), strict=True):
        assert (kept.number, kept.hand, kept.instants) == (move.number, move.hand, move.instants)
        assert np.allclose(kept.places, move.places, atol=1e-3, equal_nan=True)
        assert np.allclose(kept.times, move.times, atol=1e-6)


def errors_of(clip: Kept, monkeypatch: pytest.MonkeyPatch) -> Errors:
    monkeypatch.setattr(seen_errors, "load", lambda path: iter([clip]))
    (errors,) = seen_errors.errors_of(SAMPLE)
    return errors


@clips
def test_errors_are_kept_as_of_a_right_handed_hitter(clip: Kept, monkeypatch: pytest.MonkeyPatch) -> None:
    own, twin = errors_of(clip, monkeypatch), errors_of(mirror_image(clip), monkeypatch)
    assert np.allclose(own.flat, twin.flat, atol=1e-3)
    assert np.allclose(own.solid, twin.solid, atol=2e-3)
    assert np.allclose(own.seen, twin.seen, atol=1e-6)
    assert np.abs(own.flat).mean() < 0.03
    assert np.abs(own.solid).mean() < 0.08


def test_errors_run_to_and_fro_through_a_longer_move() -> None:
    rows, times = np.arange(4.0)[:, None], np.arange(9) * 0.5
    run = stretched(rows, 1.0, times, 0.0)[:, 0]
    assert sorted(set(run)) == [0, 0.5, 1, 1.5, 2, 2.5, 3]
    assert np.allclose(np.abs(np.diff(run)), 0.5)
