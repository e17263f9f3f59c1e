"""The call follows from interval and band, and from nothing else."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.read.calls import call_for


@pytest.mark.parametrize(
    ("interval", "band", "call"),
    [
        ((43.0, 53.0), (None, 45.0), "too close to call"),
        ((30.0, 45.0), (None, 45.0), "in range"),
        ((45.1, 60.0), (None, 45.0), "out of range"),
        ((10.0, 20.0), (15.0, None), "too close to call"),
        ((15.0, 20.0), (15.0, None), "in range"),
        ((1.0, 2.0), (15.0, 30.0), "out of range"),
        ((-5.0, 90.0), (15.0, 30.0), "too close to call"),
        ((1.0, 2.0), (None, None), "in range"),
    ],
)
def test_a_call(interval: tuple[float, float], band: tuple[float | None, float | None], call: str) -> None:
    assert call_for(interval, band) == call


numbers = st.floats(-100, 100)


@given(ends=st.tuples(numbers, numbers), band=st.tuples(numbers, numbers), wider=st.floats(0, 50))
def test_a_wider_interval_is_never_surer(ends: tuple[float, float], band: tuple[float, float], wider: float) -> None:
    low, high = min(ends), max(ends)
    wanted = (min(band), max(band))
    narrow, wide = call_for((low, high), wanted), call_for((low - wider, high + wider), wanted)
    assert wide in (narrow, "too close to call")
