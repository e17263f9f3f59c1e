"""Where long words are cut for the first pages of the PDF: nothing is left out, whatever the letters are."""

from __future__ import annotations

import random

import pytest

from portal.evaluations.going_on import LINE, cut, shortened


def content(**fields):
    return {"greeting": "", "good": [], "thing": None, "closing": "", "plan": [], **fields}


@pytest.mark.parametrize("seed", range(40))
def test_what_stays_and_what_goes_on_are_what_was_written(seed):
    chance = random.Random(seed)
    text = "".join(
        chance.choice(["word ", "end. ", "Why? ", "\n", "\n\n", "longword" * chance.randint(1, 40)]) for _ in range(120)
    )
    for most in (1, 40, 300, 1000):
        kept, rest = cut(text, most)
        assert "".join((kept + rest).split()) == "".join(text.split())
        assert kept.strip() or not text.strip()
        assert sum(max(LINE, len(line)) for line in kept.splitlines()) <= max(most, LINE) + LINE


def test_it_is_cut_between_two_sentences_and_between_two_lines():
    assert cut("First one. Second one is longer! Third.", 35) == ("First one. Second one is longer!", "Third.")
    assert cut("A first line.\n\nA second line that is long. And its end.", 2 * LINE + 10) == (
        "A first line.", "A second line that is long. And its end."
    )  # fmt: skip


def test_one_endless_sentence_is_cut_between_words():
    kept, rest = cut("word " * 100, 52)
    assert (kept, len(rest.split())) == ("word " * 9 + "word", 90)


def test_the_first_good_thing_always_stays():
    said = shortened(content(good=["a" * 400, "b" * 30]), 200)
    assert said["good"] == ["a" * 400]
    assert said["going_on"] == {"good": ["b" * 30]}


def test_what_is_short_stays_as_it_is():
    short = content(
        greeting="Hi.", good=["You stand tall."], thing={"title": "Foot", "words": "Closed."}, closing="Bye."
    )
    assert shortened(short, 300) == {**short, "going_on": {}}
    assert shortened(short, None) == {**short, "going_on": {}}
