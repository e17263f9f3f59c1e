"""What is drawn and by which light, free of how it is drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .meshes import Colour

__all__ = ["Light", "Solid"]


@dataclass(frozen=True)
class Light:
    """``sun`` is the direction from the ground to the sun; strengths 0..1."""

    sun: tuple[float, float, float]
    sun_colour: Colour = (1.0, 0.96, 0.88)
    sun_strength: float = 0.95
    sky_colour: Colour = (0.80, 0.88, 1.0)
    sky_strength: float = 0.42
    bounce_colour: Colour = (0.85, 0.70, 0.55)
    bounce_strength: float = 0.22
    ambient: float = 0.20


@dataclass
class Solid:
    """What is to be drawn: vertices [V,3] in the field, faces [T,3], colour or per-vertex colours [V,3] 0..1."""

    vertices: np.ndarray
    faces: np.ndarray
    colour: Colour | np.ndarray
    shine: float = 0.05
