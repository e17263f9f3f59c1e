"""The coaches' pages of the library: list, one drill, add, edit; who gets in and who does not."""

import pytest

from portal.drills.library import load
from portal.drills.models import Drill
from portal.drills.set_up import DEFAULTS


@pytest.fixture
def library(db):
    load()


@pytest.fixture
def own(coach):
    return Drill.objects.create(
        slug="own",
        title="Own",
        in_short="Mine",
        trains=["setup_face"],
        steps=["Do it."],
        goal="It flies.",
        author=coach,
    )


def form(**changes):
    fields = {
        "title": "Rope along the line", "in_short": "A rope shows the way.",
        "trains": ["down_foot_opening:high", "down_stride_length:low", "down_stride_length:high", "contact_palms"],
        "steps": "Lay a rope.\n\n  Step along it. ", "goal": "The shoe touches it.", "watch_for": "", "cautions": "",
        **{key: str(value) for key, value in DEFAULTS.items()},
    }  # fmt: skip
    return {**fields, **changes}


def test_the_list_shows_every_drill_with_its_drawing(sign_in, coach, library):
    html = sign_in(coach).get("/drills/").content.decode()
    assert html.count("<svg xmlns") == Drill.objects.count()
    assert "Thin ice" in html


def test_the_list_can_be_narrowed_to_a_checkpoint(sign_in, coach, library):
    response = sign_in(coach).get("/drills/?trains=swing_elbow_line")
    assert {d.slug for d in response.context["drills"]} == {"elbow-to-the-pocket", "short-and-quick", "half-speed"}
    assert "Rear elbow in the slot" in response.content.decode()


def test_the_list_can_be_narrowed_to_a_stop(sign_in, coach, library):
    response = sign_in(coach).get("/drills/?stop=finish")
    assert {d.slug for d in response.context["drills"]} == {
        "statue", "far-side-tee", "two-balls-in-a-row", "coat-on-the-hook",
    }  # fmt: skip


def test_an_unknown_filter_shows_all(sign_in, coach, library):
    response = sign_in(coach).get("/drills/?trains=nonsense&stop=nonsense")
    assert len(response.context["drills"]) == Drill.objects.count()


def test_retired_drills_stand_apart(sign_in, coach, own):
    Drill.objects.filter(pk=own.pk).update(retired=True)
    response = sign_in(coach).get("/drills/")
    assert (response.context["drills"], response.context["retired"]) == ([], [own])


def test_a_drill_has_steps_goal_and_cautions(sign_in, coach, library):
    html = sign_in(coach).get("/drills/thin-ice/").content.decode()
    for words in (
        "Step as if onto thin ice",
        "You have it when",
        "Look all around before every swing",
        "4 rounds of 6",
    ):
        assert words in html


def test_a_drill_can_be_mirrored(sign_in, coach, library):
    client = sign_in(coach)
    assert client.get("/drills/thin-ice/").content != client.get("/drills/thin-ice/?hits=left").content


def test_a_coach_adds_a_drill_of_their_own(sign_in, coach):
    response = sign_in(coach).post("/drills/add/", form(rounds="2", tee_height="thigh"))
    assert response.status_code == 302
    drill = Drill.objects.get(slug="rope-along-the-line")
    assert drill.author == coach
    assert drill.steps == ["Lay a rope.", "Step along it."]
    assert drill.set_up == {**DEFAULTS, "rounds": 2, "tee_height": "thigh"}


def test_a_coach_says_against_which_side_a_drill_is(sign_in, coach):
    client = sign_in(coach)
    client.post("/drills/add/", form())
    drill = Drill.objects.get(slug="rope-along-the-line")
    assert drill.trains == ["down_foot_opening", "down_stride_length", "contact_palms"]
    assert drill.against == {"down_foot_opening": "high", "down_stride_length": "both"}
    shown = client.get("/drills/rope-along-the-line/").content.decode()
    assert "(too open)" in shown
    assert "(too short or too long)" in shown


def test_what_was_said_of_a_drill_stands_in_its_form(sign_in, coach):
    client = sign_in(coach)
    client.post("/drills/add/", form())
    page = client.get("/drills/rope-along-the-line/edit/")
    assert set(page.context["form"]["trains"].value()) == set(form()["trains"])


def test_a_drill_of_before_asks_for_its_side_and_says_that_it_is_open(sign_in, coach, own):
    client = sign_in(coach)
    assert "which side is not said" in client.get("/drills/own/").content.decode()
    assert client.get("/drills/own/edit/").context["form"]["trains"].value() == []


def test_faults_of_both_halves_are_shown(sign_in, coach):
    response = sign_in(coach).post("/drills/add/", form(title="", rounds="99"))
    assert response.status_code == 200
    assert "title" in response.context["form"].errors
    assert "rounds" in response.context["set_up"].errors
    assert Drill.objects.count() == 0


def test_a_name_that_is_taken_is_said(sign_in, coach, own):
    response = sign_in(coach).post("/drills/add/", form(title="Own!"))
    assert "There is a drill with this name already" in response.content.decode()


def test_an_own_drill_can_be_changed_and_keeps_its_address(sign_in, coach, own):
    response = sign_in(coach).post("/drills/own/edit/", form(title="Renamed"))
    assert response.url == "/drills/own/"
    own.refresh_from_db()
    assert own.title == "Renamed"


def test_a_shipped_drill_is_the_owners_to_change(sign_in, coach, owner, library):
    assert sign_in(coach).get("/drills/thin-ice/edit/").status_code == 404
    assert sign_in(owner).get("/drills/thin-ice/edit/").status_code == 200


def test_another_coachs_drill_stays_theirs(sign_in, other_coach, own):
    client = sign_in(other_coach)
    assert client.get("/drills/own/").status_code == 200
    assert client.post("/drills/own/edit/", form()).status_code == 404


@pytest.mark.parametrize("url", ["/drills/", "/drills/own/", "/drills/add/", "/drills/own/edit/"])
def test_families_get_404(sign_in, guardian, player_user, own, url):
    assert sign_in(guardian).get(url).status_code == 404
    assert sign_in(player_user).get(url).status_code == 404


@pytest.mark.parametrize("url", ["/drills/", "/drills/own/", "/drills/add/"])
def test_strangers_sign_in_first(stranger, own, url):
    assert stranger.get(url).url.startswith("/accounts/login/")


def test_a_missing_drill_is_404(sign_in, coach):
    assert sign_in(coach).get("/drills/none/").status_code == 404


@pytest.mark.parametrize("url", ["/drills/", "/drills/own/"])
def test_pages_to_read_take_no_post(sign_in, coach, own, url):
    assert sign_in(coach).post(url).status_code == 405
