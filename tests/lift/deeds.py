"""What players, coaches and children do before a camera that is no swing: told deed by deed, each in a way of its own every time.

`deeds_field` holds what is done without a bat, `deeds_batting` what is done with one, `deed_body` how a telling becomes a body.
"""

from __future__ import annotations

import numpy as np

from tests.films.body import Body

from .deed_body import Deed, Script
from .deeds_batting import BATTING
from .deeds_field import FIELD
from .movers import Mover

__all__ = ["DEEDS", "deed_named", "deed_of"]

_TOLD = {told.__name__: told for told in FIELD + BATTING}
DEEDS: tuple[str, ...] = tuple(_TOLD)


def deed_named(name: str, body: Body, rng: np.random.Generator) -> Deed:
    """This deed, done by ``body`` as ``rng`` has it."""
    script = Script(rng)
    _TOLD[name](script)
    return Deed(body, script)


def deed_of(body: Body, rng: np.random.Generator) -> tuple[str, Mover]:
    """A deed at random, with its name: its mover shows the body from 0 to 3.2 s, and has ``bat_length`` (metres)."""
    name = DEEDS[rng.integers(len(DEEDS))]
    return name, deed_named(name, body, rng)
