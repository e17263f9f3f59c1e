"""What the tests of watching share: the built models, real footage where it lies, rendered films."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.watch.models import ModelError, find_model

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="session")
def models_there() -> None:
    """Skip where the pose models are not built."""
    try:
        find_model("lite")
        find_model("heavy")
    except ModelError as error:
        pytest.skip(str(error))


@pytest.fixture(scope="session")
def cage_clip() -> Path:
    """The real batting clip beside the project; skip where it is absent."""
    path = ROOT.parent / "shared" / "clips" / "cage_back_side.mp4"
    if not path.is_file():
        pytest.skip("../shared/clips/cage_back_side.mp4 (real footage, not part of the project) is absent")
    return path


@pytest.fixture(scope="session")
def films() -> list[Path]:
    """The rendered films with their truth; skip where none is there."""
    found = sorted(
        path for path in (ROOT / "tests" / "films" / "out").glob("[!.]*.mp4") if path.with_suffix(".json").is_file()
    )
    if not found:
        pytest.skip("no rendered film lies in tests/films/out")
    return found
