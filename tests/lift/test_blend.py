"""The mean of networks that went on from one: of the same size and standards, or not at all."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.lift.blend import blended


def lift(path: Path, weight: float, mean: float = 0.0, wide: int = 3) -> Path:
    """A file with a network of one layer, all of whose weights are alike."""
    layer = {"w0": np.full((2, wide), weight, np.float16), "b0": np.full(wide, weight, np.float32)}
    np.savez(path, **layer, mean=np.full(2, mean), std=np.ones(2), shape=np.eye(2), time_w0=np.ones(2))
    return path


def test_parameters_are_weighed(tmp_path: Path) -> None:
    files = {
        lift(tmp_path / "base.npz", 1.0): 2.0,
        lift(tmp_path / "one.npz", 2.0): 1.0,
        lift(tmp_path / "two.npz", 6.0): 1.0,
    }
    mixed = blended(files)
    assert sorted(mixed) == ["b0", "mean", "std", "w0"]
    assert mixed["w0"] == pytest.approx(np.full((2, 3), 2.5))  # (2 x 1 + 2 + 6) / 4
    assert mixed["mean"] == pytest.approx(np.zeros(2))


def test_a_network_of_another_size_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"two\.npz is a network of another size"):
        blended({lift(tmp_path / "one.npz", 1.0): 1.0, lift(tmp_path / "two.npz", 1.0, wide=4): 1.0})


def test_a_network_that_did_not_go_on_from_the_first_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"two\.npz did not go on from the first"):
        blended({lift(tmp_path / "one.npz", 1.0): 1.0, lift(tmp_path / "two.npz", 1.0, mean=0.5): 1.0})


def test_another_network_of_theirs_is_blended_by_its_prefix(tmp_path: Path) -> None:
    files = {}
    for name, weight in (("one", 1.0), ("two", 4.0)):
        path = tmp_path / f"{name}.npz"
        np.savez(
            path,
            time_w0=np.full((3, 2, 2), weight),
            time_b0=np.full(2, weight),
            time_mean=np.zeros(2),
            time_std=np.ones(2),
            w0=np.eye(2),
        )
        files[path] = weight
    mixed = blended(files, "time_")
    assert sorted(mixed) == ["time_b0", "time_mean", "time_std", "time_w0"]
    assert mixed["time_w0"] == pytest.approx(np.full((3, 2, 2), 3.4))  # (1 x 1 + 4 x 4) / 5


def test_what_a_network_ends_in_is_blended_with_it(tmp_path: Path) -> None:
    files = {}
    for name, value in (("one", 1.0), ("two", 3.0)):
        path = tmp_path / f"{name}.npz"
        np.savez(
            path,
            deed_w0=np.ones((2, 2)),
            deed_last=np.full(6, value),
            deed_bias=np.array([value]),
            deed_mean=np.zeros(2),
            deed_std=np.ones(2),
        )
        files[path] = 1.0
    mixed = blended(files, "deed_")
    assert mixed["deed_last"] == pytest.approx(np.full(6, 2.0))
    assert mixed["deed_bias"] == pytest.approx([2.0])
