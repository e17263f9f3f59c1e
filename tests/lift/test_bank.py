"""Errors of drawn clips and what they are put on: the same by a mirror, apart in two that make them up, on the side they were seen from."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.read.lift import JOINTS
from tests.lift.bank import Bank
from tests.lift.errors import Errors, Shown, shown_in
from tests.lift.judge import SAMPLE
from tests.lift.mirror import mirror_image
from tests.lift.samples import in_picture
from tests.lift.store import gathered, load, save
from tests.lift.systematic import AROUND_S, Systematic, motion_rows

CLIP = next(clip for clip in load(SAMPLE) if clip.kind == 0)
J = len(JOINTS)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Shown:
    path = tmp_path_factory.mktemp("bank") / "tune-0.npz"
    save(path, gathered([SAMPLE], 1)[:1])
    return shown_in(path)[0]


def leaning(rows: int, flat: float, solid: float) -> dict[str, np.ndarray]:
    """A network that says the same errors of any motion, in standing heights."""
    out = np.concatenate([np.full(2 * J, flat), np.full(3 * J, solid)])
    parts = {"mean": np.zeros(rows), "std": np.ones(rows), "size": np.ones(5 * J)}
    ends = ((4, rows), (4, 4), (5 * J, 4))
    for layer, shape in enumerate(ends):
        parts |= {f"w{layer}": np.zeros(shape), f"b{layer}": out if layer == 2 else np.zeros(shape[0])}
    return {name: part.astype(np.float32) for name, part in parts.items()}


def test_a_clip_and_its_mirror_image_show_the_same_errors(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.lift.errors.load", lambda path: [mirror_image(CLIP)])
    [other] = shown_in(Path("mirrored.npz"))
    assert abs((other.azimuth - shown.azimuth + 180) % 360 - 180) < 1e-6
    assert np.abs(shown.flat).mean() > 0.005
    for name in ("places", "picture", "flat", "solid", "seen"):
        assert np.allclose(getattr(other, name), getattr(shown, name), atol=2e-3), name


def test_where_a_camera_sees_a_hitter_is_told_as_of_a_right_handed_one(shown: Shown) -> None:
    toward = -CLIP.joints[:, :2].mean(axis=(0, 1))
    around = np.degrees(np.arctan2(toward @ CLIP.axes[2], toward @ CLIP.axes[0]))
    assert abs((shown.azimuth - around + 180) % 360 - 180) < 3


def test_what_is_nearer_is_seen_larger() -> None:
    joints = np.tile([0.0, 0.0, 4.0], (1, 4, 1))
    joints[0, 2:] = [[0.5, -1.0, 4.0], [0.5, -1.0, 3.2]]
    picture = in_picture(joints, 2.0)
    assert picture[0, 2] == pytest.approx([0.25, 0.5])
    assert picture[0, 3] == pytest.approx([0.25 * 4 / 3.2, 0.5 * 4 / 3.2])


def test_what_is_looked_at_is_the_motion_about_a_moment() -> None:
    times = np.arange(60) / 60
    places = np.zeros((60, J, 3))
    places[:, 4, 0] = 2.0 * times  # one joint goes ahead at two heights a second
    rows = motion_rows(places, places[..., :2], times, 90.0)
    body = 5 * J
    for k, after in enumerate(AROUND_S[1:]):
        moved = rows[30, body * (k + 1) : body * (k + 2)]
        assert moved[3 * 4] == pytest.approx(2.0 * after, abs=1e-5)
        assert np.count_nonzero(np.abs(moved) > 1e-6) == 1
    assert rows[0, body : 2 * body].any() == (AROUND_S[1] > 0)  # nothing is known before the first
    assert rows[30, -4:] == pytest.approx([0, 1, -1, 0], abs=1e-6)


def test_the_two_parts_of_an_error_make_it_up_again(shown: Shown) -> None:
    rows = motion_rows(shown.places, shown.picture, shown.times, shown.azimuth)
    systematic = Systematic((leaning(rows.shape[1], 0.01, 0.02), leaning(rows.shape[1], 0.03, 0.05)))
    # By the network that was not fitted to the clip: that of the other half of the numbers.
    own = (0.03, 0.05) if shown.number % 2 == 0 else (0.01, 0.02)
    left = systematic.random(shown)
    assert np.allclose(left.flat, shown.flat - own[0], atol=1e-6)
    assert np.allclose(left.solid, shown.solid - own[1], atol=1e-6)


def test_what_is_drawn_is_the_motions_own_error_and_a_random_one() -> None:
    times = np.arange(60) / 60
    places = np.random.default_rng(0).normal(0, 0.2, (60, J, 3))
    nothing = Errors(80.0, 1 / 60, 0.5, np.zeros((60, J, 2)), np.zeros((60, J, 3)), np.ones((60, 33)))
    aside = replace(nothing, flat=np.tile([0.01, 0.0], (60, J, 1)), solid=np.tile([0.0, 0.0, 0.04], (60, J, 1)))
    far = replace(nothing, azimuth=-80.0, flat=nothing.flat + 9.0)
    rows = motion_rows(places, places[..., :2], times, 80.0).shape[1]
    systematic = Systematic((leaning(rows, 0.1, 0.2), leaning(rows, 0.1, 0.2)))
    rng = np.random.default_rng(1)

    def drawn(bank: Bank, seen_from: tuple[float, bool]) -> tuple[np.ndarray, np.ndarray]:
        return bank.draw(places, places[..., :2], times, 0.5, seen_from, rng)[:2]

    flat, solid = drawn(Bank([aside, far]), (75.0, False))
    assert np.allclose(flat, [0.01, 0.0])
    assert np.allclose(solid, [0.0, 0.0, 0.04])
    # A left-handed hitter before a camera on the other side is the mirror image: what was off to the right is off to the left.
    flat, solid = drawn(Bank([aside, far]), (-75.0, True))
    assert np.allclose(flat, [-0.01, 0.0])
    flat, solid = drawn(Bank([aside, far], systematic), (75.0, False))
    assert np.allclose(flat, [0.11, 0.1])
    assert np.allclose(solid, [0.2, 0.2, 0.24])
