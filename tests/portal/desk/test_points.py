"""The desk's list of points: what the film lets a hand take hold of, under words for each."""

from __future__ import annotations

import json
import re

from portal.desk.points import points


def test_the_list_names_what_can_be_taken_hold_of_on_the_film(root):
    module = (root / "static" / "js" / "desk" / "limbs.js").read_text()
    movable = json.loads(re.search(r"MOVABLE = (\[[\d, ]+\])", module)[1])
    assert [value for value, _ in points()] == [*map(str, movable), "knob", "barrel"]


def test_every_point_has_words_of_its_own():
    words = [words for _, words in points()]
    assert len(set(words)) == len(words)
    assert all(words)
