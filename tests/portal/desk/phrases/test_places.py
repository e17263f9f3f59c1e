"""What was written for one child becomes a phrase for all."""

import pytest

from portal.desk.phrases.places import unknown, with_places, without_names


@pytest.mark.parametrize(
    ("written", "phrase"),
    [
        ("Ida, your head is quiet.", "{name}, your head is quiet."),
        ("I like Ida's finish.", "I like {name}'s finish."),
        ("Ida Sandvall swings well.", "{name} swings well."),
        ("She keeps her head still.", "{He} keep{s} {his} head still."),
        ("He goes down early.", "{He} go{es} down early."),
        ("I saw that she was ready, and told her to wait.", "I saw that {he} {was} ready, and told {him} to wait."),
        ("The bat is hers.", "The bat is {hers}."),
        ("He is balanced.", "{He} {is} balanced."),
        ("Your foot opens 62°.", "Your foot opens {reading}."),
        ("You reach 88% of arm length now.", "You reach {reading} now."),
        ("You stand 1.6\u202f× shoulder width apart.", "You stand {reading} apart."),
        ("There are 90 ms to see it, 12 % of all.", "There are {reading} to see it, 12 % of all."),
        ("Take ten swings a day.", "Take ten swings a day."),
        ("The idea stays.", "The idea stays."),
        ("He carries the bat.", "{He} carries the bat."),
    ],
)
def test_names_pronouns_and_numbers_become_places(written, phrase):
    assert with_places(written, {"Ida", "Sandvall"}) == phrase


def test_only_whole_names_are_taken_out():
    assert without_names("Maxwell and Max", {"Max"}) == "Maxwell and {name}"
    assert without_names("Nobody here", set()) == "Nobody here"


@pytest.mark.parametrize(
    ("text", "odd"),
    [("{name} {He} keep{s}", []), ("{nmae}", ["nmae"]), ("{", ["{"]), ("a } b", ["}"]), ("plain", [])],
)
def test_what_is_no_place_is_found(text, odd):
    assert unknown(text) == odd
