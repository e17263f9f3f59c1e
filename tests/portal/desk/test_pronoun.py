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
    """What the desk begins with, on the page and for its modules."""
    answer = client.get(reverse("desk", args=[review.submission_id]))
    page = answer.content.decode().partition('id="pronoun"')[2].partition("</select>")[0]
    (option,) = [one for one in page.split("<option")[1:] if "selected" in one]
    shown = option.partition('value="')[2].partition('"')[0]
    assert answer.context["data"]["draft"]["pronoun"] == shown
    return shown


@pytest.mark.parametrize(("before", "begins"), [("", "they"), ("she", "she"), ("he", "he"), ("they", "they")])
def test_a_review_begins_with_what_the_player_was_called_before(desk_client, review, before, begins):
    Player.objects.update(pronoun=before)
    assert chosen(desk_client, review) == begins


def test_a_review_can_say_it_otherwise_and_the_player_stays_as_before_until_it_is_published(
    post_change, desk_client, review
):
    Player.objects.update(pronoun="she")
    assert post_change("draft", pronoun="they").status_code == 200
    assert chosen(desk_client, review) == "they"
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
