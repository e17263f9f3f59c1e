"""Shrinking by halves: against means made by hand, and against the converter's own way of shrinking a film."""

from __future__ import annotations

import numpy as np
import pytest
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Interpolation

from analysis.watch.pictures import by_halves, halved, halved_film


@pytest.mark.parametrize(
    ("side", "wanted", "scale"), [(1920, 960, 0.5), (1280, 960, 1.0), (3840, 960, 0.25), (300, 960, 1.0), (0, 960, 1.0)]
)
def test_the_scale_nearest_to_what_is_wanted(side: float, wanted: float, scale: float) -> None:
    assert by_halves(side, wanted) == scale


def test_a_pixel_becomes_the_mean_of_four_and_an_odd_edge_is_left_out() -> None:
    picture = np.arange(5 * 7, dtype=np.uint8).reshape(5, 7) * 4
    expected = picture[:4, :6].reshape(2, 2, 3, 2).mean(axis=(1, 3))
    np.testing.assert_allclose(halved(picture, 1), expected, atol=0.51)
    assert halved(picture, 0) is picture
    assert halved(np.zeros((9, 13, 3), np.uint8), 2).shape == (2, 3, 3)


def film(width: int, height: int, layout: str = "yuv420p") -> VideoFrame:
    """A film's picture of slow waves of colour."""
    y, x = np.mgrid[:height, :width]
    waves = [127 + 100 * np.sin(x / 91 + y / 107 + phase) for phase in (0.0, 2.0, 4.0)]
    return VideoFrame.from_ndarray(np.stack(waves, axis=2).astype(np.uint8), format="rgb24").reformat(format=layout)


@pytest.mark.parametrize("color_range", [ColorRange.MPEG, ColorRange.JPEG])
@pytest.mark.parametrize("times", [1, 2])
def test_a_film_halved_shows_what_the_converter_shows(times: int, color_range: ColorRange) -> None:
    source = film(320, 240)
    source.color_range = color_range
    small = halved_film(source, times)
    assert small is not None
    size = 320 >> times, 240 >> times
    expected = source.reformat(*size, "rgb24", interpolation=Interpolation.AREA).to_ndarray().astype(int)
    off = np.abs(small.reformat(format="rgb24").to_ndarray() - expected)
    assert off.mean() < 2
    assert off.max() < 10  # colours have half the places: ways of spreading them differ


@pytest.mark.parametrize(
    ("width", "height", "layout"), [(322, 240, "yuv420p"), (320, 238, "yuv420p"), (320, 240, "yuv420p10le")]
)
def test_what_does_not_come_out_even_or_has_deep_colours_is_left_to_the_converter(
    width: int, height: int, layout: str
) -> None:
    assert halved_film(film(width, height, layout), 1) is None
