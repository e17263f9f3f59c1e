"""GET /clips/<clip>/result and POST /clips/<clip>/corrections: the reading follows the coach's hand."""

import json
import time
import uuid

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from portal.measuring import door
from portal.measuring.models import Measurement
from tests.portal.measuring.conftest import empty_tracks

pytestmark = pytest.mark.django_db


@pytest.fixture
def clip(measured_clip, tmp_path):
    """The measured clip, with tracks of a second in which nobody was seen."""
    path = tmp_path / "tracks.npz"
    empty_tracks().save(path)
    with path.open("rb") as file:
        default_storage.save(f"{measured_clip.folder}/tracks.npz", file)
    door.load_tracks.cache_clear()
    return measured_clip


@pytest.fixture
def client(coach, sign_in):
    return sign_in(coach)


def post(client, clip, version, corrections, **more):
    body = json.dumps({"version": version, "corrections": corrections, **more})
    return client.post(reverse("clip_correct", args=[clip.pk]), body, content_type="application/json")


def row(clip):
    return Measurement.objects.get(clip=clip)


def test_the_result_comes_with_its_corrections_and_version(clip, client):
    answer = client.get(reverse("clip_result", args=[clip.pk])).json()
    assert set(answer) == {"version", "corrections", "result", "plate_fits", "news"}
    assert (answer["version"], answer["corrections"]) == (0, {})
    assert answer["result"]["swings"][0]["instants"]["contact"]["frame"] is not None


def test_a_correction_is_read_and_kept_at_once(clip, client):
    response = post(client, clip, 0, {"view": "chest_side", "hand": "left"})
    assert response.status_code == 200
    answer = response.json()
    assert answer["result"]["film"]["view"] == "chest_side"
    assert answer["result"]["film"]["hand_source"] == "coach"
    held = row(clip)
    assert (held.corrections_version, answer["version"]) == (1, 1)
    assert (held.corrections, held.result) == ({"view": "chest_side", "hand": "left"}, answer["result"])


def test_a_stale_window_gets_the_newer_state_and_changes_nothing(clip, client):
    post(client, clip, 0, {"hand": "left"})
    response = post(client, clip, 0, {"hand": "right"})
    assert response.status_code == 409
    answer = response.json()
    assert "another window" in answer["words"]
    assert (answer["version"], answer["corrections"]) == (1, {"hand": "left"})
    assert row(clip).corrections == {"hand": "left"}


def test_of_two_at_once_the_second_is_stale(clip, monkeypatch, client):
    """The other window saves while this one is being read."""
    real = door.read_again

    def meanwhile(measurement, wanted):
        Measurement.objects.filter(pk=measurement.pk).update(corrections_version=1, corrections={"hand": "left"})
        return real(measurement, wanted)

    monkeypatch.setattr(door, "read_again", meanwhile)
    response = post(client, clip, 0, {"hand": "right"})
    assert (response.status_code, response.json()["corrections"]) == (409, {"hand": "left"})
    assert row(clip).corrections == {"hand": "left"}


UNDER_WAY = {"hand": "left"}
ALL_OF_IT = {"hand": "left", "view": "chest_side"}


def test_a_window_that_goes_is_not_stale_behind_its_own_correction(clip, client):
    post(client, clip, 0, UNDER_WAY)
    response = post(client, clip, 0, ALL_OF_IT, unanswered=[UNDER_WAY])
    assert (response.status_code, response.json()["version"]) == (200, 2)
    assert row(clip).corrections == ALL_OF_IT


def test_nor_where_its_own_correction_is_kept_while_the_other_is_read(clip, monkeypatch, client):
    read = door.read_again

    def meanwhile(measurement, wanted):
        monkeypatch.setattr(door, "read_again", read)
        post(client, clip, 0, UNDER_WAY)
        return read(measurement, wanted)

    monkeypatch.setattr(door, "read_again", meanwhile)
    assert post(client, clip, 0, ALL_OF_IT, unanswered=[UNDER_WAY]).status_code == 200
    held = row(clip)
    assert (held.corrections, held.corrections_version) == (ALL_OF_IT, 2)


@pytest.mark.parametrize("others", [[{"hand": "right"}], [UNDER_WAY, UNDER_WAY]], ids=["another hand", "two changes"])
def test_but_behind_what_others_moved_it_is(others, clip, client):
    for version, corrections in enumerate(others):
        post(client, clip, version, corrections)
    response = post(client, clip, 0, ALL_OF_IT, unanswered=[UNDER_WAY])
    assert response.status_code == 409
    assert row(clip).corrections == others[-1]


SINCE = {**ALL_OF_IT, "speed_factor": 2.0}


@pytest.mark.parametrize("arrived", [[], [UNDER_WAY], [ALL_OF_IT], [UNDER_WAY, ALL_OF_IT]])
def test_a_window_that_goes_twice_is_not_stale_behind_any_of_its_own(arrived, clip, client):
    for version, corrections in enumerate(arrived):
        post(client, clip, version, corrections)
    response = post(client, clip, 0, SINCE, unanswered=[UNDER_WAY, ALL_OF_IT])
    assert (response.status_code, response.json()["version"]) == (200, len(arrived) + 1)
    assert row(clip).corrections == SINCE
    for late in (UNDER_WAY, ALL_OF_IT):  # what arrives only now undoes nothing
        assert post(client, clip, 0, late).status_code == 409
    assert post(client, clip, 0, ALL_OF_IT, unanswered=[UNDER_WAY]).status_code == 409
    assert row(clip).corrections == SINCE


def test_nor_where_two_of_its_own_are_kept_while_it_is_read(clip, monkeypatch, client):
    read, late = door.read_again, [UNDER_WAY, ALL_OF_IT]

    def meanwhile(measurement, wanted):
        if wanted == SINCE and late:
            post(client, clip, row(clip).corrections_version, late.pop(0))
        return read(measurement, wanted)

    monkeypatch.setattr(door, "read_again", meanwhile)
    assert post(client, clip, 0, SINCE, unanswered=[UNDER_WAY, ALL_OF_IT]).status_code == 200
    held = row(clip)
    assert (held.corrections, held.corrections_version) == (SINCE, 3)


def test_a_page_from_before_an_update_names_one_alone(clip, client):
    post(client, clip, 0, UNDER_WAY)
    assert post(client, clip, 0, ALL_OF_IT, unanswered=UNDER_WAY).status_code == 200


@pytest.mark.parametrize("odd", ["left", 3, [3, "x"], None])
def test_what_is_no_correction_excuses_nothing(odd, clip, client):
    post(client, clip, 0, UNDER_WAY)
    assert post(client, clip, 0, ALL_OF_IT, unanswered=odd).status_code == 409


@pytest.mark.parametrize(
    ("corrections", "named"),
    [({"hand": "both"}, "'both'"), ({"instants": {"0": {"contact": 6000}}}, "6000"), ({"colour": 1}, "'colour'")],
)
def test_an_impossible_correction_is_refused_by_name(corrections, named, clip, client):
    response = post(client, clip, 0, corrections)
    assert response.status_code == 422
    assert named in response.json()["words"]
    assert row(clip).corrections_version == 0


@pytest.mark.parametrize(
    "body", ["", "[]", '{"version": 0}', '{"version": "0", "corrections": {}}', '{"version": 0, "corrections": 1}',
             '{"version": true, "corrections": {}}', '{"version": 0, "corrections": {"speed_factor": NaN}}']
)  # fmt: skip
def test_another_body_is_refused_in_words(body, clip, client):
    response = client.post(reverse("clip_correct", args=[clip.pk]), body, content_type="application/json")
    assert response.status_code == 400
    assert len(response.json()["words"]) > 20


@pytest.mark.parametrize("persona", ["guardian", "player_user", "other_coach", "other_guardian"])
def test_only_the_coaches_of_the_camp_get_here(persona, clip, sign_in, request):
    client = sign_in(request.getfixturevalue(persona))
    assert client.get(reverse("clip_result", args=[clip.pk])).status_code == 404
    assert post(client, clip, 0, {"hand": "left"}).status_code == 404
    assert row(clip).corrections == {}


def test_strangers_missing_clips_and_other_methods(clip, client, stranger):
    assert stranger.get(reverse("clip_result", args=[clip.pk])).status_code == 404
    assert client.get(reverse("clip_result", args=[uuid.uuid4()])).status_code == 404
    assert client.post(reverse("clip_result", args=[clip.pk])).status_code == 405
    assert client.get(reverse("clip_correct", args=[clip.pk])).status_code == 405


def test_a_reading_is_answered_while_the_hand_still_moves(clip, client):
    """The second answer, with the tracks in memory: 200 ms is where waiting begins to be felt (common practice)."""
    post(client, clip, 0, {"hand": "left"})
    start = time.perf_counter()
    post(client, clip, 1, {"hand": "right"})
    assert time.perf_counter() - start < 0.2
