"""The order in which files of tests are handed out names files that are there."""

from __future__ import annotations

from pathlib import Path

from tests.order import LONGEST


def test_every_file_that_is_handed_out_first_is_there(root: Path) -> None:
    assert [name for name in LONGEST if not (root / name).is_file()] == []
    assert len(set(LONGEST)) == len(LONGEST)
