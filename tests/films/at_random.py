"""Films drawn at random: another hitter, manner, camera and place for every seed.

The films of `cast.py` were made by hand and looked at; these are made to fit weights to, and to judge on films that nothing
was fitted to. Ranges reach a little beyond what coaches call usual.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from .cast import BOY, FILMS, GIRL, MAN, WOMAN
from .film import Film
from .manner import Manner, Timing

__all__ = ["film_at_random"]

PEOPLE = (("adult", MAN), ("adult", WOMAN), ("child", BOY), ("child", GIRL))
VIEWS = (
    "chest_side", "back_side", "chest_side", "back_side", "catcher_side", "chest_side", "back_side", "pitcher_side",
)  # fmt: skip
AZIMUTH = {"chest_side": 90.0, "back_side": -90.0, "catcher_side": 180.0, "pitcher_side": 0.0}
MIDDLE = {"adult": 0.95, "child": 0.72}  # height at which the camera looks, metres
NAMES = tuple(FILMS)


def film_at_random(seed: int) -> Film:
    """The film of a seed; the same seed gives the same film."""
    rng = np.random.default_rng(1000 + seed)
    person, shape = PEOPLE[seed % 4]
    hand = "left" if rng.random() < 0.4 else "right"
    view = VIEWS[seed % 8]
    camera = _camera(rng, person, hand, view)
    dress, place = FILMS[rng.choice(NAMES)], FILMS[rng.choice(NAMES)]
    manner, timing = _manner(rng), _timing(rng)
    return Film(
        name=f"r{seed:02d}_{hand}_{view}",
        person=person,
        hand=hand,
        view=view,
        shape=dict(shape),
        timings=(timing,),
        fps=60,
        seconds=2.5,
        outfit=dress.outfit,
        manner=manner,
        place=place.place,
        light=place.light,
        toss=None if seed % 2 else 12.0,
        shutter_s=1 / float(rng.uniform(120, 400)),
        wobble=float(rng.uniform(0, 0.6)) if seed % 3 == 0 else 0.0,
        seed=100 + seed,
        **camera,
    )


def _camera(rng: np.random.Generator, person: str, hand: str, view: str) -> dict[str, Any]:
    """A parent's place: 4.3 to 7.5 m away, within 20 degrees of a side, the hitter larger or smaller in the picture."""
    side = 1.0 if hand == "right" else -1.0
    far = rng.uniform(4.3, 7.5)
    azimuth = np.radians(AZIMUTH[view]) + np.radians(rng.uniform(-20, 20))
    at = (far * np.cos(azimuth) - 0.1, rng.uniform(1.0, 1.7), side * (far * np.sin(azimuth)) - 0.85 * side)
    to = (-0.1 + rng.uniform(-0.15, 0.15), MIDDLE[person], -0.85 * side)
    angle = float(np.degrees(2 * np.arctan(np.tan(np.radians(47 / 2)) * 5.6 / far * rng.uniform(0.8, 1.3))))
    return {"camera_at": at, "camera_to": to, "camera_angle": angle * (0.85 if person == "child" else 1.0)}


def _manner(rng: np.random.Generator) -> Manner:
    knee = rng.uniform(16, 44)
    ranges = {
        "base": (0.42, 0.74), "stride": (0.04, 0.38), "lift": (0.03, 0.26), "opening": (4, 58),
        "load_rear_knee": (knee + 3, knee + 14), "down_rear_knee": (34, 58), "down_shift": (-0.09, -0.01),
        "down_rear_knee_out": (2, 20), "contact_front_knee": (3, 30), "finish_front_knee": (3, 16), "lean": (8, 26),
        "head_drift": (0.02, 0.1), "face": (60, 84), "hands_back": (0.04, 0.14), "hands_height": (-0.08, 0.06),
        "bat_up": (25, 80), "coil": (5, 26), "contact_hips": (60, 84), "contact_chest": (46, 62),
        "finish_height": (0, 0.2), "phase": (0, 3), "weight_shift": (0.01, 0.06),
    }  # fmt: skip
    return Manner(setup_rear_knee=knee, **{name: rng.uniform(*between) for name, between in ranges.items()})


def _timing(rng: np.random.Generator) -> Timing:
    ranges = {
        "down_to_contact": (0.15, 0.28), "start_to_contact": (0.13, 0.21), "load_to_down": (0.15, 0.32),
        "move_to_load": (0.4, 0.65),
    }  # fmt: skip
    return Timing(contact=1.7, **{name: rng.uniform(*between) for name, between in ranges.items()})
