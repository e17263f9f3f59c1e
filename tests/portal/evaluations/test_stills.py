"""Stills by frame index: every frame of the test clip carries its number, read back here."""

import numpy as np
import pytest

from portal.evaluations.stills import NoStill, still
from tests.films.numbered import read_number


@pytest.mark.parametrize("frame", [0, 19, 20, 37, 49, 50, 59])
def test_the_still_is_the_frame_asked_for(measured_clip, frame):
    assert read_number(np.asarray(still(measured_clip.measurement, frame))) == frame


def test_a_frame_beyond_the_clip_is_said(measured_clip):
    with pytest.raises(NoStill, match="no still of frame 60; there are frames 0 to 19, 20 to 49, 50 to 59"):
        still(measured_clip.measurement, 60)
