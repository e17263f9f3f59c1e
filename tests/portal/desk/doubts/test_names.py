"""Another child of the camp in the words of this one."""

import pytest

from tests.portal.conftest import make_player


@pytest.fixture
def others(camp, other_guardian):
    for name in ("Kenji", "Will", "Mary Ann", "Ida"):
        make_player(camp, other_guardian, first_name=name, last_name="Okafor")


def named(sentences):
    return [sentence for sentence in sentences if "another player of this camp" in sentence]


@pytest.mark.usefixtures("others")
@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Kenji, you stay tall.", "Kenji"),
        ("Hi Kenji! Thank you.", "Kenji"),
        ("I saw Kenji’s swing.", "Kenji"),
        ("Will, your feet are quiet.", "Will"),
        ("Keep it up, Will.", "Will"),
        ("Dear Ann", "Ann"),
    ],
)
def test_a_name_of_another_player_is_told(said, words, name):
    told = named(said(greeting=words))
    assert told == [
        f"“{name}” in the greeting is another player of this camp. Put the right name, or take it out."
    ]  # fmt: skip


@pytest.mark.usefixtures("others")
@pytest.mark.parametrize(
    "words",
    ["Hi Ida! Good work.", "Will you try it? You will.", "Like a kenjiro.", "See you, coach Rosa Marwick.", ""],
)
def test_own_names_words_and_parts_of_words_pass(said, words):
    assert named(said(greeting=words)) == []


def test_a_player_of_another_camp_is_nobody_here(said, other_camp, other_guardian):
    make_player(other_camp, other_guardian, first_name="Kenji")
    assert named(said(greeting="Hi Kenji!")) == []


def test_he_beside_she_is_told_where_it_is_rarer(said):
    words = {"closing": "Her legs are strong. She can do it.", "good": ["She stays tall.", "His head is still."]}
    (sentence,) = [one for one in said(**words) if "otherwise" in one]
    assert sentence.startswith("“His” in what is already good, and elsewhere the words say it otherwise.")


@pytest.mark.parametrize(
    ("pronoun", "told"), [("she", "“his” in the closing words, and you chose “she”"), ("he", ""), ("they", "")]
)
def test_a_pronoun_that_the_coach_did_not_choose_is_told(said, pronoun, told):
    sentences = [one for one in said(closing="Keep his head still.", pronoun=pronoun) if "Is that this player?" in one]
    assert len(sentences) == bool(told)
    assert all(told in one for one in sentences)


@pytest.mark.parametrize("words", ["He is quick, and his head is still.", "You are quick.", "The theory of others."])
def test_one_pronoun_alone_passes(said, words):
    assert not [one for one in said(closing=words) if "otherwise" in one]


def otherwise(sentences):
    return [one for one in sentences if one.startswith("Until now")]


@pytest.mark.parametrize(
    ("before", "chosen", "told"),
    [
        ("she", "he", ["Until now Ida was “she”; here you chose “he”. Is that right?"]),
        ("they", "she", ["Until now Ida was “they”; here you chose “she”. Is that right?"]),
        ("she", "they", ["Until now Ida was “she”; here you chose “they”. Is that right?"]),
        ("she", "she", []),
        ("she", "", []),  # as it was
        ("", "he", []),  # nobody had said anything
    ],
)
def test_another_pronoun_than_before_is_told(said, review, before, chosen, told):
    player = review.submission.player
    player.pronoun = before
    player.save(update_fields=["pronoun"])
    assert otherwise(said(pronoun=chosen)) == told


def test_words_are_held_against_what_the_player_was_called_before(said, review):
    player = review.submission.player
    player.pronoun = "she"
    player.save(update_fields=["pronoun"])
    assert any("“his” in the closing words, and you chose “she”" in one for one in said(closing="Keep his head still."))
