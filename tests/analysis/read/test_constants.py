"""Numbers have one home, and each of them says there what it counts and where it comes from."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

READ = Path(__file__).parents[3] / "analysis" / "read"
HOME = READ / "constants.py"
SOURCES = "exact|fitted|measured|practice|memory|choice"
SAID = re.compile(rf"# [^,;:]+, ({SOURCES})\b")
# What a network looks at stands with it, and is fixed by its fit; versions are counted; directions of views are names.
ELSEWHERE = {"instant_network.py", "swing_classifier.py", "apparent_lengths.py", "lift.py", "versions.py"}
NAMED = {"RESULT_SCHEMA", "_RIGHT_HANDED"}


def assigned(path: Path) -> dict[str, ast.expr]:
    """Values of a module's constants."""
    found = {}
    for node in ast.parse(path.read_text()).body:
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        for target in targets:
            for name in target.elts if isinstance(target, ast.Tuple) else [target]:
                if isinstance(name, ast.Name) and node.value is not None and name.id.isupper():
                    found[name.id] = node.value
    return found


@pytest.mark.parametrize("name", assigned(HOME))
def test_a_constant_says_its_unit_and_its_source(name: str) -> None:
    lines = HOME.read_text().splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith(f"{name}: Final"))
    above = at - 1
    while lines[above - 1].startswith("#"):
        above -= 1
    assert SAID.search(lines[at]) or (lines[at - 1].startswith("#") and SAID.match(lines[above])), lines[at]


def test_a_constant_is_used() -> None:
    code = "\n".join(path.read_text() for path in READ.rglob("*.py") if path != HOME)
    assert [name for name in assigned(HOME) if not re.search(rf"\bC\.{name}\b", code)] == []


def test_no_other_module_keeps_numbers_of_its_own() -> None:
    kept = [
        f"{path.name}: {name}"
        for path in sorted(READ.rglob("*.py"))
        if path != HOME and path.name not in ELSEWHERE
        for name, value in assigned(path).items()
        if name not in NAMED
        and any(
            isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool)
            for node in ast.walk(value)
        )
        and not any(isinstance(node, ast.Call | ast.Lambda | ast.Subscript | ast.BinOp) for node in ast.walk(value))
    ]
    assert kept == []
