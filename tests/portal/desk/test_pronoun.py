"""he, she or they: chosen once for a player, and there again with the next review."""

from importlib import import_module

import pytest
from django.apps import apps
from django.urls import reverse

from portal.desk.models import Review
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import Player


def chosen(client, review):
    """What the desk begins with, on the page and for its modules: the words that stand there, what phrases say."""
    answer = client.get(reverse("desk", args=[review.submission_id]))
    page = answer.content.decode().partition('id="pronoun"')[2].partition("</select>")[0]
    (option,) = [one for one in page.split("<option")[1:] if "selected" in one]
    data = answer.context["data"]
    assert f'value="{data["draft"]["pronoun"]}"' in option
    return option.partition(">")[2].partition("<")[0], data["draft"]["pronoun"] or data["called_before"]


@pytest.mark.parametrize(
    ("before", "begins"),
    [
        ("", ("they, until you choose", "they")),
        ("she", ("she, as before", "she")),
        ("he", ("he, as before", "he")),
        ("they", ("they, as before", "they")),
    ],
)
def test_a_review_begins_with_what_the_player_was_called_before(desk_client, review, before, begins):
    Player.objects.update(pronoun=before)
    assert chosen(desk_client, review) == begins


def test_the_choice_is_taken_back_to_none_at_all(post_change, desk_client, review):
    """Undoing the first choice leaves no "they" behind, which publishing would take for the coach's word."""
    for said, shown in (("he", ("he", "he")), ("", ("they, until you choose", "they"))):
        assert post_change("draft", pronoun=said).status_code == 200
        assert Review.objects.get().pronoun == said
        assert chosen(desk_client, review) == shown


def test_a_review_can_say_it_otherwise_and_the_player_stays_as_before_until_it_is_published(
    post_change, desk_client, review
):
    Player.objects.update(pronoun="she")
    assert post_change("draft", pronoun="they").status_code == 200
    assert chosen(desk_client, review) == ("they", "they")
    assert Player.objects.get().pronoun == "she"
    assert post_change("draft", pronoun="xe").status_code == 400


def test_what_was_chosen_before_an_update_is_the_players(review):
    """ "they" may have been left as it was; so it is nobody's choice."""
    Review.objects.update(pronoun="she")
    Submission.objects.update(state=State.PUBLISHED)
    import_module("portal.desk.migrations.0012_pronoun_of_the_player").give_to_players(apps, None)
    assert Player.objects.get().pronoun == "she"
    Review.objects.update(pronoun="they")
    import_module("portal.desk.migrations.0012_pronoun_of_the_player").give_to_players(apps, None)
    assert Review.objects.get().pronoun == ""
    assert Player.objects.get().pronoun == "she"
