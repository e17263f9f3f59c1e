"""Of which kind a drawn clip is, by its number, of any use."""

from __future__ import annotations

from typing import Final

__all__ = ["DEEDS", "DRIVEN", "HABITS", "LANDINGS", "LAST", "LEANS", "PATHS", "SEQUENCES", "THROUGH"]

# From this number on all are swings whose front feet land on the toe, flat, or on the heel; before, all land nearly flat.
LANDINGS: Final = 200_000
# And from this one on hitters have habits of their own: a tap of the foot, a rocking body, hands that wait elsewhere, one that lets go.
HABITS: Final = 300_000
# And from this one on they differ widely at foot down, through contact and after it.
THROUGH: Final = 800_000
# And from this one on most of them lean toward the pitcher or the catcher, and more or less toward the plate.
LEANS: Final = 850_000
# And from these on they move by rules of other hands, of no kin to the key poses: segment after segment, or after the bat's path.
SEQUENCES: Final = 900_000
PATHS: Final = 950_000
# From here on by a fourth one: joints and bat driven by what muscles, the ground and gravity do to them.
DRIVEN: Final = 1_000_000
# And from here on nobody swings: what else players do, by another hand than `acts`.
DEEDS: Final = 1_050_000
LAST: Final = 1_100_000
