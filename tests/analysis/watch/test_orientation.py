"""A stored picture is turned and mirrored as its matrix says: against the matrix itself, corner by corner."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from analysis.watch.decode import square_shape
from analysis.watch.orientation import UPRIGHT, from_matrix

# The eight ways to put a picture down, as whole numbers.
MATRICES = [
    (a, b, c, d)
    for a, b, c, d in itertools.product((-1, 0, 1), repeat=4)
    if abs(a) + abs(b) == 1 and abs(c) + abs(d) == 1 and a * d - b * c
]


@pytest.mark.parametrize("matrix", MATRICES)
def test_every_corner_comes_where_the_matrix_puts_it(matrix: tuple[int, int, int, int]) -> None:
    a, b, c, d = matrix
    stored = np.arange(6, dtype=np.uint8).reshape(2, 3)
    places = {(a * x + c * y, b * x + d * y): stored[y, x] for y in range(2) for x in range(3)}
    left, top = min(x for x, _ in places), min(y for _, y in places)
    shown = from_matrix(*(float(number * 65536) for number in matrix)).upright(stored)
    assert shown.flags.c_contiguous
    for (x, y), value in places.items():
        assert shown[y - top, x - left] == value


def test_all_eight_ways_are_tried() -> None:
    assert len(MATRICES) == 8
    assert len({from_matrix(*map(float, matrix)) for matrix in MATRICES}) == 8


def test_a_slanted_matrix_goes_to_the_nearer_quarter() -> None:
    assert from_matrix(0.9, 0.3, -0.3, 0.9) == UPRIGHT
    assert from_matrix(0.3, 0.9, -0.9, 0.3).quarter_turns == 3


def test_a_flat_matrix_is_passed_over() -> None:
    assert from_matrix(0.0, 0.0, 0.0, 0.0) == UPRIGHT
    assert from_matrix(1.0, 1.0, 1.0, 1.0) == UPRIGHT


def test_pixels_that_are_not_square_shrink_the_longer_way() -> None:
    from fractions import Fraction

    assert square_shape(720, 480, None) == (720, 480)
    assert square_shape(720, 480, Fraction(1281, 1280)) == (720, 480)
    assert square_shape(720, 576, Fraction(16, 11)) == (720, 396)
    assert square_shape(720, 480, Fraction(8, 9)) == (640, 480)
    assert square_shape(720, 480, Fraction(100, 1)) == (720, 480)
