"""Which swing is looked at, when swings are taken out and added: nothing that was said of one comes beside another."""

from __future__ import annotations

import json

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from analysis.read import read
from portal.desk import drafts
from portal.desk.models import Rating
from portal.desk.page import swing_choices
from portal.desk.stops import stops
from portal.desk.swings import best_swing, place_of, swing_of
from portal.evaluations.snapshot import build
from portal.intake.models import Clip
from portal.measuring import door
from portal.measuring.models import Measurement
from tests.analysis.read.motion import Film, Swing, film_swing

FILM = Film(width_px=640, height_px=360, focal=500.0, swings=(Swing(), Swing(foot_down=1.1, contact=1.35), Swing()))


@pytest.fixture(scope="module")
def three_swings():
    return film_swing(FILM)


@pytest.fixture(scope="module")
def first_reading(three_swings):
    return read(three_swings).to_json()


@pytest.fixture
def clip(measured_clip, review, three_swings, first_reading, tmp_path):
    """The review's clip, really read: three swings, the review looks at the middle one."""
    path = tmp_path / "tracks.npz"
    three_swings.save(path)
    with path.open("rb") as file:
        default_storage.save(f"{measured_clip.folder}/tracks.npz", file)
    door.load_tracks.cache_clear()
    Measurement.objects.filter(clip=measured_clip).update(result=first_reading)
    review.swing = 1
    review.save(update_fields=["swing"])
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="good", words="soft")
    return Clip.objects.get(pk=measured_clip.pk)


@pytest.fixture
def correct(clip, desk_client):
    """correct(…): the clip's corrections are these now; gives the answer's JSON."""

    def post(**corrections):
        version = Measurement.objects.get(clip=clip).corrections_version
        body = json.dumps({"version": version, "corrections": corrections})
        answer = desk_client.post(reverse("clip_correct", args=[clip.pk]), body, content_type="application/json")
        assert answer.status_code == 200, answer.content
        return answer.json()

    return post


def fresh(review):
    return type(review).objects.get(pk=review.pk)


def shown(review) -> tuple[int, list[dict]]:
    """What stands at the desk: the swing's first frame, and the readings of the snapshot that would be published."""
    review = fresh(review)
    points = build(review, None, 1)["points"]
    return swing_of(review)["start_frame"], [(p["checkpoint"], p["value"], p["rating"], p["words"]) for p in points]


def test_the_film_has_three_swings(clip):
    assert [swing["index"] for swing in clip.measurement.result["swings"]] == [0, 1, 2]


def test_taking_out_an_earlier_swing_leaves_readings_and_ratings_together(correct, review):
    review.counting = {str(review.clip_id): {"0": False, "2": False}}
    review.save(update_fields=["counting"])
    before = shown(review)
    correct(remove_swings=[0])
    start, points = shown(review)
    # The hitter's size and the line are read from the swings that are left, so a value may stir by less than anybody can see, and a
    # moment on the edge of two frames may show in the other.
    assert abs(start - before[0]) <= 1
    for (name, value, *said), (same, was, *as_before) in zip(points, before[1], strict=True):
        assert (name, said) == (same, as_before)
        assert value == (None if was is None else pytest.approx(was, abs=0.5)), name
    assert ("down_front_knee", "good", "soft") in [(name, rate, words) for name, _value, rate, words in points]
    assert place_of(fresh(review)) == (1, 2)


def test_taking_out_the_swing_itself_and_putting_it_back_changes_nothing_that_was_said(correct, review):
    before = shown(review)
    answer = correct(remove_swings=[1])
    assert [swing["index"] for swing in answer["result"]["swings"]] == [0, 2]
    assert swing_of(fresh(review))["index"] == 2  # the last that reaches contact
    assert Rating.objects.get().words == "soft"
    correct(remove_swings=[])
    assert shown(review) == before


def test_an_added_swing_has_a_number_of_its_own_and_leaves_the_others_alone(correct, review, clip, three_swings):
    before = shown(review)
    first = clip.measurement.result["swings"][0]
    span = {"start_frame": first["start_frame"], "end_frame": first["end_frame"]}
    answer = correct(remove_swings=[0], add_swings=[span])
    assert [swing["index"] for swing in answer["result"]["swings"]] == [1, 2, 3]
    assert shown(review) == before
    added = answer["result"]["swings"][-1]["instants"]["contact"]["frame"]
    assert abs(added - first["instants"]["contact"]["frame"]) <= 1


def test_instants_put_by_hand_stay_with_their_swing(correct, review):
    contact = swing_of(review)["instants"]["contact"]["frame"]
    correct(instants={"1": {"contact": contact + 2}}, remove_swings=[0])
    assert swing_of(fresh(review))["instants"]["contact"]["frame"] == contact + 2


def test_the_chooser_names_swings_by_their_number(correct, review, clip):
    correct(remove_swings=[0])
    review = fresh(review)
    choices = swing_choices(drafts.measured_clips(review.submission), review)
    assert [(c["value"].partition(":")[2], c["words"], c["chosen"]) for c in choices] == [
        ("1", "swing 2 of 3", True),
        ("2", "swing 3 of 3", False),
    ]


def test_another_swing_is_chosen_by_its_number_and_one_taken_out_is_not_there(correct, review, clip, desk_client):
    correct(remove_swings=[1])
    url = reverse("desk_swing", args=[review.submission_id])
    assert desk_client.post(url, {"choice": f"{clip.pk}:1"}).status_code == 404
    assert desk_client.post(url, {"choice": f"{clip.pk}:2", "stop": "load"}).status_code == 302
    assert fresh(review).swing == 2


def test_with_every_swing_taken_out_the_desk_and_the_letter_still_open(correct, review, desk_client):
    correct(remove_swings=[0, 1, 2])
    review = fresh(review)
    assert swing_of(review) is None
    assert place_of(review) == (0, 0)
    assert stops(review, None)[2].points[0].rating == "good"
    assert desk_client.get(reverse("desk", args=[review.submission_id])).status_code == 200
    letter = desk_client.get(reverse("desk_preview", args=[review.submission_id]))
    assert letter.status_code == 200
    assert "Swing 0" not in letter.content.decode()
    page = desk_client.get(reverse("desk", args=[review.submission_id]))
    assert page.context["data"]["swing"] is None


@pytest.mark.parametrize(
    ("reaching", "index"), [([(0, True), (1, True), (2, False)], 1), ([(2, False)], 2), ([(1, False), (3, True)], 3), ([], 0)]
)  # fmt: skip
def test_the_swing_to_look_at_first_is_the_last_that_reaches_contact(reaching, index):
    assert best_swing({"swings": [{"index": n, "reaches_contact": reaches} for n, reaches in reaching]}) == index


def test_without_a_reading_there_is_no_swing():
    assert best_swing(None) == 0


@pytest.mark.slow
def test_a_swing_that_gets_another_number_takes_its_instants_along(correct, review, clip, monkeypatch):
    """Another reading finds only the last two of the three swings: what was said of them moves to their new numbers."""
    contact = clip.measurement.result["swings"][1]["instants"]["contact"]["frame"]
    correct(instants={"1": {"contact": contact + 2}}, remove_swings=[2])
    real = door.read_again

    def later_two(measurement, wanted):
        """As if the other hand made the first swing none."""
        if wanted.get("hand") != "left":
            return real(measurement, wanted)
        put = {str(int(n) + 1): moved for n, moved in wanted.get("instants", {}).items()}
        out = [0, *(n + 1 for n in wanted.get("remove_swings", []))]
        result = real(measurement, {"instants": put, "remove_swings": out})
        for swing in result["swings"]:
            swing["index"] -= 1
        return result

    monkeypatch.setattr(door, "read_again", later_two)
    answer = correct(instants={"1": {"contact": contact + 2}}, remove_swings=[2], hand="left")
    assert answer["moved"] == {"1": 0, "2": 1}
    assert answer["corrections"]["remove_swings"] == [1]
    assert answer["corrections"]["instants"] == {"0": {"contact": contact + 2}}
    [left] = answer["result"]["swings"]
    assert (left["index"], left["instants"]["contact"]["frame"]) == (0, contact + 2)


@pytest.mark.slow
def test_a_correction_that_finds_the_same_swings_moves_no_number(correct):
    assert correct(remove_swings=[0], view="chest_side")["moved"] == {}
