"""Which group of views a film belongs to."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read.groups import GROUPS, group_of


@pytest.mark.parametrize(
    ("ahead", "group"),
    [
        (0.0, "side"), (180.0, "side"), (-180.0, "side"), (34.0, "side"), (-34.0, "side"), (150.0, "side"),
        (36.0, "between"), (-54.0, "between"), (135.0, "between"), (-130.0, "between"),
        (56.0, "along"), (90.0, "along"), (-90.0, "along"), (270.0, "along"),
    ],
)  # fmt: skip
def test_a_film_is_from_a_side_from_along_the_line_or_from_between(ahead: float, group: str) -> None:
    assert group_of(ahead) == group
    assert group in GROUPS


def test_a_film_whose_line_is_not_known_counts_as_from_a_side() -> None:
    assert group_of(float("nan")) == "side"


def test_a_mirrored_film_belongs_to_the_same_group() -> None:
    for ahead in np.arange(-179.0, 180.0, 7.0):
        assert group_of(float(ahead)) == group_of(180.0 - float(ahead))
