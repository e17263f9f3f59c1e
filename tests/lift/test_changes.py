"""What the fits change at random keeps samples true. Needs torch, which only the fits' own environment has."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from analysis.read.apparent_lengths import LENGTHS  # noqa: E402
from analysis.read.lift import JOINTS, OUTPUTS, WINDOW_S, mirrored  # noqa: E402
from analysis.read.motion import SEEN  # noqa: E402
from tests.lift.fit import Changes, Noise  # noqa: E402
from tests.lift.mirror import OTHER_JOINT  # noqa: E402


def test_a_sample_is_mirrored_as_reading_mirrors_it(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("rand", "randn", "randn_like"):  # nothing but the mirror, which half of the samples see
        kind = torch.zeros_like if name.endswith("like") else torch.zeros
        monkeypatch.setattr(torch, name, lambda *size, kind=kind, **wish: kind(*size, **wish))
    rng = np.random.default_rng(1)
    rows = rng.uniform(0, 1, (3, len(SEEN) * (5 * len(WINDOW_S) + 1) + LENGTHS)).astype(np.float32)
    wanted = rng.uniform(-1, 1, (3, OUTPUTS)).astype(np.float32)
    got, told = Changes("cpu", Noise())(torch.tensor(rows), torch.tensor(wanted))
    assert np.allclose(got.numpy(), mirrored(rows), atol=1e-5)
    joints = wanted[:, :-3].reshape(3, len(JOINTS), 3)[:, OTHER_JOINT] * [-1, 1, 1]
    assert np.allclose(told.numpy(), np.concatenate([joints.reshape(3, -1), wanted[:, -3:] * [-1, 1, 1]], 1), atol=1e-5)
