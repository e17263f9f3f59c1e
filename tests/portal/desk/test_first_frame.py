"""The frame that the desk opens with, and its still."""

import json

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from portal.desk.stops import first_frame
from portal.evaluations.models import AccessLogEntry

KNOWN = {"set_up": {"frame": 12}, "load": {"frame": None}, "foot_down": {"frame": 30}}
SWING = {"start_frame": 10, "instants": KNOWN}


@pytest.mark.parametrize(
    ("stop", "frame"), [("set_up", 12), ("load", 12), ("foot_down", 30), ("contact", 30), ("preview", 0)]
)
def test_a_stop_shows_its_instant_or_the_nearest_known_one_before_it(stop, frame):
    assert first_frame(SWING, stop) == frame


def test_where_nothing_is_known_the_swing_or_the_film_begins():
    assert first_frame({"start_frame": 10, "instants": {}}, "contact") == 10
    assert first_frame(None, "contact") == 0


def address(clip, frame=3):
    return reverse("clip_still", args=[clip.pk, frame])


def test_a_coach_gets_the_still_as_it_is_kept(desk_client, measured_clip):
    with default_storage.open(f"{measured_clip.measurement.products}/stills.json") as table:
        pack = json.load(table)["packs"][0]
    answer = desk_client.get(address(measured_clip))
    with default_storage.open(f"{measured_clip.measurement.products}/{pack['file']}") as file:
        assert answer.content == file.read()[pack["offsets"][3] : pack["offsets"][4]]
    assert (answer["Content-Type"], answer["Cache-Control"]) == ("image/jpeg", "private, no-store")
    assert AccessLogEntry.objects.get().what == "frames"


def test_a_frame_that_there_is_not_and_a_film_that_has_ended_are_404(desk_client, measured_clip):
    assert desk_client.get(address(measured_clip, 100_000)).status_code == 404
    default_storage.delete(f"{measured_clip.measurement.products}/stills.json")
    assert desk_client.get(address(measured_clip)).status_code == 404


def test_others_do_not_get_it(sign_in, other_coach, guardian, measured_clip):
    for user in (other_coach, guardian):
        assert sign_in(user).get(address(measured_clip)).status_code == 404
