"""Numbers have one home, and each of them says there what it counts and where it comes from."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

READ = Path(__file__).parents[3] / "analysis" / "read"
HOME = READ / "constants.py"
SOURCES = "exact|fitted|measured|practice|memory|choice"
SAID = re.compile(rf"# [^,;:]+, ({SOURCES})\b")
# What a network looks at stands with it, and is fixed by its fit; versions are counted; directions of views are names; home plate's shape
# is fixed by the rules.
ELSEWHERE = {
    "instant_network.py",
    "swing_classifier.py",
    "apparent_lengths.py",
    "lift.py",
    "networks.py",
    "versions.py",
}
NAMED = {"RESULT_SCHEMA", "_RIGHT_HANDED", "PLATE_IN"}
MOST_AXES = 6
EXACT = {0.0, 0.5, 1.0, 2.0, 90.0, 100.0, 180.0, 360.0, 1000.0}
NEXT_TO_NOTHING = 1e-6


def assigned(module: ast.Module) -> dict[str, ast.expr]:
    """Values of a module's constants."""
    found = {}
    for node in module.body:
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        for target in targets:
            for name in target.elts if isinstance(target, ast.Tuple) else [target]:
                if isinstance(name, ast.Name) and node.value is not None and name.id.isupper():
                    found[name.id] = node.value
    return found


@pytest.mark.parametrize("name", assigned(ast.parse(HOME.read_text())))
def test_a_constant_says_its_unit_and_its_source(name: str) -> None:
    lines = HOME.read_text().splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith(f"{name}: Final"))
    above = at - 1
    while lines[above - 1].startswith("#"):
        above -= 1
    assert SAID.search(lines[at]) or (lines[at - 1].startswith("#") and SAID.match(lines[above])), lines[at]


def test_a_constant_is_used() -> None:
    code = "\n".join(path.read_text() for path in READ.rglob("*.py") if path != HOME)
    assert [name for name in assigned(ast.parse(HOME.read_text())) if not re.search(rf"\bC\.{name}\b", code)] == []


def numbers(path: Path) -> Iterator[tuple[int, float]]:
    """Line and value of every number in a module's code that is neither a place in an array, nor a fact of the book, nor how much a
    cache holds."""
    tree = ast.parse(path.read_text())
    passed = {id(node) for each in ast.walk(tree) if isinstance(each, ast.Subscript) for node in ast.walk(each.slice)}
    own = {"maxsize"} | ({"bands", "scale"} if path.parent.name == "book" else set())
    passed |= {
        id(node)
        for each in ast.walk(tree)
        if isinstance(each, ast.keyword) and each.arg in own
        for node in ast.walk(each)
    }
    if path.name in ELSEWHERE:
        passed |= {id(node) for value in assigned(tree).values() for node in ast.walk(value)}
    passed |= {id(node) for name, value in assigned(tree).items() if name in NAMED for node in ast.walk(value)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and type(node.value) in (int, float) and id(node) not in passed:
            yield node.lineno, node.value


def is_plain(value: float) -> bool:
    """Whether a number needs no name: a count of axes, points or powers; a half, a double, a turn, hundredths and thousandths; or
    so little that it only keeps from dividing by nothing."""
    return (isinstance(value, int) and value <= MOST_AXES) or value in EXACT or abs(value) <= NEXT_TO_NOTHING


@pytest.mark.parametrize(
    "path", [path for path in sorted(READ.rglob("*.py")) if path != HOME], ids=lambda path: path.name
)
def test_no_other_module_keeps_numbers_of_its_own(path: Path) -> None:
    assert [f"{path.name}:{line}: {value}" for line, value in numbers(path) if not is_plain(value)] == []


def test_a_number_within_a_formula_is_found(tmp_path: Path) -> None:
    path = tmp_path / "formula.py"
    path.write_text(
        "FEW: Final = (1, 2)\n\ndef reach(sd):\n    return max(2.5 * sd, 0.05)[7:9]\n\nTILTS = radians([33.0])\n"
    )
    assert [value for _, value in numbers(path) if not is_plain(value)] == [33.0, 0.05, 2.5]
