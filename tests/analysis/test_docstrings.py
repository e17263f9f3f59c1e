"""Whoever meets an array in reading or watching is told its shape where it is asked for or given."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ANALYSIS = Path(__file__).parents[2] / "analysis"
MODULES = [path for folder in ("read", "watch") for path in sorted((ANALYSIS / folder).rglob("*.py"))]
ARRAY = re.compile(r"\b(Array|Samples|Flags|Frames|Floats|Floats32|NDArray|ndarray|Picture|Points)\b")
SHAPE = re.compile(r"\[(?:\.\.\.|[A-Za-z0-9_ ×*]+)(?:, ?(?:\.\.\.|[A-Za-z0-9_/+* ]+))*\]")


def public(body: list[ast.stmt]) -> Iterator[ast.FunctionDef]:
    """Functions and methods whose names, and whose class's, do not begin with an underscore."""
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            if isinstance(node, ast.ClassDef):
                yield from public(node.body)
            else:
                yield node


def with_arrays(source: str) -> list[ast.FunctionDef]:
    """Public functions that take or return arrays by their annotations."""
    found = []
    for function in public(ast.parse(source).body):
        told = [each.annotation for each in (*function.args.args, *function.args.kwonlyargs)] + [function.returns]
        if any(ARRAY.search(ast.unparse(each)) for each in told if each is not None):
            found.append(function)
    return found


def shapeless(source: str) -> list[str]:
    """Of these the names whose docstrings tell no shape."""
    return [each.name for each in with_arrays(source) if not SHAPE.search(ast.get_docstring(each) or "")]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_function_of_arrays_tells_a_shape(path: Path) -> None:
    assert shapeless(path.read_text()) == []


def test_there_are_such_functions() -> None:
    assert sum(len(with_arrays(path.read_text())) for path in MODULES) > 100


def test_what_tells_no_shape_is_found() -> None:
    source = '''
class Body:
    def low(self, rows: Array) -> float:
        """The least of the rows."""
    def high(self, rows: Array) -> float:
        """The greatest of rows [F, D]."""
    def _own(self, rows: Array) -> float: ...
def count(name: str) -> int: ...
def spread(name: str) -> Samples: ...
'''
    assert shapeless(source) == ["low", "spread"]
