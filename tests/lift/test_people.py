"""Nobody is shown for two uses: whom something was fitted, tuned or calibrated to never judges it."""

from __future__ import annotations

from collections import Counter

from tests.lift import people, recorded


def test_everybody_has_one_use() -> None:
    uses = (
        people.FITTED, people.FITTED_LATER, people.TUNING, people.CALIBRATING, people.JUDGING, people.JUDGING_LATER,
    )  # fmt: skip
    assert Counter(number for use in uses for number in use) == Counter(range(people.COUNT))


def test_and_so_have_the_people_who_were_recorded() -> None:
    shown = Counter((*recorded.FITTED, *recorded.TUNING, *recorded.JUDGING))
    assert set(shown.values()) == {1}
