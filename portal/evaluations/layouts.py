"""The ways in which the first two pages of the PDF can be laid out, for who lays them out and for who foretells it."""

from __future__ import annotations

from dataclasses import dataclass

FIRST_PAGES = 2
SHORT = 0.5  # words that end above the middle of the page leave it mostly empty: what comes next follows there
ALL = None


@dataclass(frozen=True)
class Layout:
    """How the first pages are laid out: sizes of the coach's words and of the plan, how many drills stand there, about how many
    characters of a passage do, and whether the plan follows the words at once or begins a page; where there is no plan, `annex_follows`
    says so of the annex.
    """

    words: str = ""
    plan: str = ""
    drills: int | None = ALL
    most: int | None = ALL
    follows: bool = False
    annex_follows: bool = False


SIZES = ("", "snug", "tight")  # classes in static/css/pdf.css, the largest type first
FEWER = (3, 2, 1, 0)  # drills on the first pages where not all fit
# Where the words alone are too long for a page, all follows in the smallest type: drills go to the annex first, then the ends of
# long passages, at last every drill.
CLOSE = (
    *(Layout("tight", "tight", drills, ALL, True) for drills in (ALL, 2, 1)),
    *(Layout("tight", "tight", 1, most, True) for most in (1400, 1000, 750, 550, 400, 300)),
    *(Layout("tight", "tight", 0, most, True) for most in (400, 200)),
)
