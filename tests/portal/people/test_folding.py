"""Names are found without accents, however they were saved."""

import importlib

import pytest
from django.apps import apps

from portal.people.folding import fold
from portal.people.models import Player

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("words", "folded"),
    [
        ("Núñez", "nunez"),
        ("ÅSA", "asa"),
        ("Nu\u0301n\u0303ez", "nunez"),
        ("Ødegård Łukasz", "odegard lukasz"),
        ("Straße", "strasse"),
        ("İpek", "ipek"),
        ("李 明", "李 明"),
        ("", ""),
    ],
)
def test_accents_and_large_letters_go(words, folded):
    assert fold(words) == folded


def of(player):
    return Player.objects.values_list("folded_name", flat=True).get(pk=player.pk)


def test_whatever_saves_a_player_keeps_the_folded_name():
    player = Player.objects.create(first_name="Åsa", last_name="Núñez", birth_year=2014)
    assert of(player) == "asa nunez"
    player.last_name = "Øst"
    player.save(update_fields=["last_name"])
    assert of(player) == "asa ost"
    (other,) = Player.objects.bulk_create([Player(first_name="José", birth_year=2014)])
    assert of(other) == "jose "


def test_players_that_are_there_already_are_folded():
    player = Player.objects.create(first_name="Åsa", last_name="Núñez", birth_year=2014)
    Player.objects.update(folded_name="")
    importlib.import_module("portal.people.migrations.0005_folded_names").fold_all(apps, None)
    assert of(player) == "asa nunez"
