"""The personas stand where the other tests expect them."""

import json

import pytest
from django.core.files.storage import default_storage
from django.http import Http404

from portal import access
from portal.evaluations.models import What
from portal.intake.states import State
from tests.films.numbered import read_number


def test_each_family_sees_its_own_player_alone(player, other_player, guardian, player_user, other_guardian):
    assert list(access.players_seen_by(guardian)) == [player]
    assert list(access.players_seen_by(player_user)) == [player]
    assert list(access.players_seen_by(other_guardian)) == [other_player]


def test_a_coach_sees_the_own_camp_alone(player, other_player, coach, other_coach, camp):
    assert list(access.players_seen_by(coach)) == [player]
    assert access.get_camp(coach, camp.pk) == camp
    with pytest.raises(Http404):
        access.get_camp(other_coach, camp.pk)


def test_a_measured_clip_has_stills_that_carry_their_frame_number(measured_clip):
    import io

    from PIL import Image

    table = json.loads(default_storage.open(f"{measured_clip.folder}/stills.json").read())
    pack = table["packs"][1]
    body = default_storage.open(f"{measured_clip.folder}/{pack['file']}").read()
    start, end = pack["offsets"][3:5]
    assert read_number(Image.open(io.BytesIO(body[start:end]))) == pack["first"] + 3


def test_a_measured_clip_waits_for_the_coach(measured_clip):
    assert measured_clip.submission.state == State.READY
    assert measured_clip.measurement.is_measured


def test_a_published_evaluation_belongs_to_its_family(evaluation, guardian, other_guardian, owner):
    assert access.get_evaluation(guardian, evaluation.pk, shows=What.EVALUATION) == evaluation
    assert access.get_evaluation(owner, evaluation.pk, shows=What.EVALUATION) == evaluation
    with pytest.raises(Http404):
        access.get_evaluation(other_guardian, evaluation.pk, shows=What.EVALUATION)
