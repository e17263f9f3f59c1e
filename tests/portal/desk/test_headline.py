"""The headline of the one thing, for every checkpoint and side. All of them were read by eye."""

import pytest

from portal.desk.headline import headline, without_headline
from portal.measuring.door import CHECKPOINTS


@pytest.mark.parametrize("entry", CHECKPOINTS, ids=lambda entry: entry.id)
def test_each_side_has_a_headline_that_says_what_to_change(entry):
    low, high = (headline(entry.words_for(side)) for side in ("low", "high"))
    for side, line in (("low", low), ("high", high)):
        assert entry.words_for(side).startswith(line)
        assert 3 < len(line.split()) < 18
        assert len(line) <= 80
        assert not line.endswith((".", ",", ":", ";"))
    assert entry.by_eye or (low not in high and high not in low)


def test_the_words_do_not_say_the_headline_again():
    assert without_headline("Keep the elbow up", "Keep the elbow up. It is strong.") == "It is strong."
    assert (
        without_headline("Step softly", "Step softly, as on ice. It is quiet.")
        == "Step softly, as on ice. It is quiet."
    )
    assert without_headline("Head", "Something else.") == "Something else."
    assert without_headline("", "Words.") == "Words."
    assert without_headline("Only this", "Only this.") == "Only this."
