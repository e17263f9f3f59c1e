"""The order in which files of tests are handed out names files that are there."""

from __future__ import annotations

from pathlib import Path

from tests.order import LONGEST
from tests.shares import own_share


def test_every_file_that_is_handed_out_first_is_there(root: Path) -> None:
    assert [name for name in LONGEST if not (root / name).is_file()] == []
    assert len(set(LONGEST)) == len(LONGEST)


def test_workers_share_every_test_module_among_them(root: Path) -> None:
    shares = [own_share(number, 3) for number in range(3)]
    assert sorted(path for share in shares for path in share) == sorted((root / "tests").rglob("test_*.py"))
    assert not any(path.is_relative_to(root / "tests/browser") for path in own_share(0, 1, (f"{root}/tests/browser",)))
