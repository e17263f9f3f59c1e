"""Lengths of the body's parts as shares of the standing height.

Drillis and Contini (1966) as tabled in Winter, Biomechanics and Motor Control of Human Movement (from memory).
"""

from __future__ import annotations

from typing import Final

__all__ = ["NECK_TO_EYES", "SHANK", "THIGH", "TRUNK"]

SHANK: Final = 0.246
THIGH: Final = 0.245
TRUNK: Final = 0.288  # hips to shoulders
NECK_TO_EYES: Final = 0.118
