"""The phrase book's page and list."""

import pytest

from portal.desk.models import Phrase
from tests.portal.conftest import make_player


@pytest.fixture
def client(sign_in, coach):
    return sign_in(coach)


def test_a_phrase_is_kept_changed_and_deleted(client, coach):
    client.post("/phrases/", {"text": "{He} keep{s} the head still."})
    phrase = Phrase.objects.get(coach=coach)
    client.post(f"/phrases/{phrase.pk}/", {"text": "{He} hold{s} the head still."})
    phrase.refresh_from_db()
    assert phrase.text == "{He} hold{s} the head still."
    client.post(f"/phrases/{phrase.pk}/delete/")
    assert not Phrase.objects.exists()


def test_a_players_name_becomes_its_place_and_the_coach_is_told(client, player):
    html = client.post("/phrases/", {"text": "Ida, stay on your feet."}, follow=True).content.decode()
    assert Phrase.objects.get().text == "{name}, stay on your feet."
    assert "became {name}" in html


def test_a_word_that_is_a_name_as_well_stays_a_word_at_the_beginning(client, camp, guardian):
    make_player(camp, guardian, first_name="Hope", last_name="Brandvold")
    client.post("/phrases/", {"text": "Hope to see you soon."})
    client.post("/phrases/", {"text": "Swing like Hope Brandvold."})
    assert sorted(Phrase.objects.values_list("text", flat=True)) == ["Hope to see you soon.", "Swing like {name}."]


@pytest.mark.parametrize("text", ["{nmae} is fine here", "  ", "x" * 401])
def test_what_cannot_be_a_phrase_is_said_and_not_kept(client, text):
    answer = client.post("/phrases/", {"text": text})
    assert answer.status_code == 200
    assert answer.context["form"].errors["text"]
    assert not Phrase.objects.exists()


def test_one_phrase_stands_once(client, coach):
    Phrase.objects.create(coach=coach, text="Well done!")
    assert "You have this phrase already." in client.post("/phrases/", {"text": "Well done!"}).content.decode()


def test_another_coachs_phrases_do_not_exist(sign_in, other_coach, coach):
    phrase = Phrase.objects.create(coach=coach, text="Well done!")
    client = sign_in(other_coach)
    assert client.get(f"/phrases/{phrase.pk}/").status_code == 404
    assert client.post(f"/phrases/{phrase.pk}/delete/").status_code == 404
    assert client.get("/phrases/list/").json() == {"phrases": []}


def test_a_kept_phrase_remembers_what_it_was_about(client, coach):
    client.post("/phrases/", {"text": "Toes in.", "part": "point", "checkpoint": "down_foot_opening", "side": "high"})
    client.post(f"/phrases/{Phrase.objects.get().pk}/", {"text": "Toes to the plate."})
    assert client.get("/phrases/list/").json()["phrases"] == [
        {"text": "Toes to the plate.", "part": "point", "checkpoint": "down_foot_opening", "side": "high", "times": 0}
    ]
