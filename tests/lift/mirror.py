"""The same clip seen in a mirror: what a fit sees of it has to be the mirror image, too."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.read.lift import JOINTS
from analysis.tracks import KEYPOINTS

from .store import Kept

__all__ = ["OTHER_JOINT", "OTHER_KEYPOINT", "mirror_image", "other"]


def other(name: str) -> str:
    """The name of the same part on the other side of the body.

    >>> other("left_ear"), other("nose")
    ('right_ear', 'nose')
    """
    side, _, part = name.partition("_")
    return f"{'right' if side == 'left' else 'left'}_{part}" if part else name


NAMES = {place: name for name, place in KEYPOINTS.items()}
# For each joint, and for each of the 33 keypoints, the place of the same part on the other side of the body.
OTHER_JOINT = [JOINTS.index(other(name)) for name in JOINTS]
OTHER_KEYPOINT = [KEYPOINTS[other(NAMES[place])] if place in NAMES else place for place in range(33)]


def mirror_image(clip: Kept) -> Kept:
    """The clip in a mirror that swaps left and right of the picture: a hitter of the other hand."""
    flip = np.array([-1.0, 1.0, 1.0])
    return replace(
        clip,
        mirrored=not clip.mirrored,
        azimuth=-clip.azimuth,
        axes=clip.axes * flip,
        keypoints=clip.keypoints[:, OTHER_KEYPOINT] * flip[:2] + [clip.size[0], 0.0],
        visibility=clip.visibility[:, OTHER_KEYPOINT],
        world=clip.world[:, OTHER_KEYPOINT] * flip,
        joints=clip.joints[:, OTHER_JOINT] * flip,
        bat=clip.bat * flip,
        bat_px=None if clip.bat_px is None else clip.bat_px * flip[:2] + [clip.size[0], 0.0],
    )
