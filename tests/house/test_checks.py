"""The checks at every start: each has a number of its own, so that a silenced one silences no other."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path


def numbers(root: Path) -> list[str]:
    return [
        number
        for module in sorted((root / "portal").rglob("*.py"))
        for number in re.findall(r"""\bid=["']cagenote\.(\w+)["']""", module.read_text())
    ]


def test_no_number_is_given_twice(root: Path):
    found = Counter(numbers(root))
    assert len(found) >= 8
    assert [number for number, count in found.items() if count > 1] == []


def test_a_number_tells_error_from_warning(root: Path):
    for module in sorted((root / "portal").rglob("*.py")):
        for kind, letter in re.findall(
            r"""\b(Error|Warning)\((?:(?!\bid=).)*?\bid="cagenote\.(\w)""", module.read_text(), re.DOTALL
        ):
            assert kind[0] == letter, module
    assert all(re.fullmatch(r"[EW]\d{3}", number) for number in numbers(root))
