"""On which side of its band a fault would lie: a band with one edge has one side to miss."""

import pytest

from portal.measuring.door import side_meant


@pytest.mark.parametrize(
    ("band", "interval", "side"),
    [
        ([None, 45.0], [40.0, 56.0], "high"),  # too close to call, and only too much is wrong
        ([0.0, None], [-20.0, 90.0], "low"),
        ([None, 45.0], None, "high"),  # not readable
        ([None, 45.0], [50.0, 56.0], "high"),
        ([None, 45.0], [20.0, 30.0], ""),  # in range: whoever works on it means something else
        ([20.0, 45.0], [40.0, 56.0], ""),  # may be either
        ([20.0, 45.0], [50.0, 56.0], "high"),
        ([20.0, 45.0], [5.0, 15.0], "low"),
        ([None, None], [5.0, 15.0], ""),
        (None, None, ""),
    ],
)
def test_the_only_edge_is_the_side_until_the_film_says_in_range(band, interval, side):
    assert side_meant({"band": band, "interval": interval}) == side
