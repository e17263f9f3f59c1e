"""A family on a phone: from the invite link to a clip that is here, and back out again."""

from __future__ import annotations

import re
import time
from datetime import date
from pathlib import Path

import pytest
from django.core import mail

from portal.camps.models import Camp
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from tests.browser.width import fits
from tests.films.numbered import write_clip
from tests.portal import conftest as people
from tests.portal.people.test_player_sign_in import code_in

DARK = {"color_scheme": "dark"}


@pytest.fixture
def camp(site):
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(
        name="Lindholt fall camp",
        place="Lindholt",
        starts_on=date(2026, 10, 3),
        ends_on=date(2026, 10, 4),
        welcome="It was a good weekend. Send me one clip of each player, and I write to you about it.",
    )
    camp.coaches.add(coach)
    return camp


@pytest.fixture
def film(tmp_path) -> Path:
    path = tmp_path / "IMG_0142.MOV"
    write_clip(path, frames=30, size=(320, 180))
    return path


@pytest.fixture
def lea(camp):
    """A guardian whose child Ida is in the camp."""
    guardian = people.make_user("lea@example.org", "Lea Sandvall")
    people.make_player(camp, guardian, last_name="Sandvall")
    return guardian


@pytest.fixture
def begun(lea, camp):
    return people.make_submission(lea.players.get(), camp)


def choose(page, path: Path) -> None:
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose the clip").click()
    chooser.value.set_files(path)


@pytest.mark.slow
def test_from_the_invite_link_to_we_have_it(page_phone, camp, film, axe, shot):
    page, began = page_phone, time.monotonic()

    def look(name: str) -> None:
        axe(page)
        fits(page)
        shot(page, f"family-{name}")

    page.goto(f"/join/{camp.invite_token}/")
    look("join")
    page.get_by_label("Your email").fill("nele@example.org")
    page.get_by_role("button", name="Email me the code").click()
    page.wait_for_url("**/code/confirm/**")
    look("code")
    page.get_by_label("Code").fill(code_in(mail.outbox[0]))
    page.get_by_role("button", name="Go on").click()

    page.wait_for_url(f"/join/{camp.invite_token}/who/")
    assert page.locator("input[type=checkbox]:checked").count() == 0
    look("who")
    page.get_by_label("First name").fill("Ivo")
    page.get_by_label("Birth year").fill(str(date.today().year - 10))
    page.get_by_label("Your own name").fill("Nele Brandt")
    page.get_by_role("button", name="Next: how to film").click()
    assert page.url.endswith("/who/"), "the browser lets nobody on without the tick"
    page.get_by_label("I am this player’s parent").check()
    page.get_by_role("button", name="Next: how to film").click()

    page.wait_for_url("**/clip/")
    look("guide")
    choose(page, film)
    page.wait_for_url(re.compile(r"/submissions/[0-9a-f-]{36}/$"))
    assert page.get_by_role("heading", level=1).inner_text() == "We have Ivo’s clip"
    look("received")
    assert time.monotonic() - began < 120
    assert Clip.objects.get().original.read() == film.read_bytes()
    assert Clip.objects.get().name == "IMG_0142.MOV"


def test_the_page_follows_the_measuring_and_then_stops_asking(page_phone, sign_in, lea, begun):
    Submission.objects.filter(pk=begun.pk).update(state=State.MEASURING)
    clip = people.make_clip(begun)
    Measurement.objects.create(clip=clip, stage=Stage.FINDING)
    sign_in(page_phone, lea)
    page_phone.goto(f"/submissions/{begun.pk}/")
    Measurement.objects.update(stage=Stage.WATCHING, done=3, total=4)
    page_phone.locator("progress[value='75']").wait_for()
    Submission.objects.filter(pk=begun.pk).update(state=State.READY, promised_by=date(2026, 12, 4))
    Measurement.objects.update(stage=Stage.DONE)
    page_phone.get_by_role("heading", name="will look at it by Friday, December 4").wait_for()
    asked = []
    page_phone.on("request", lambda request: asked.append(request.url))
    page_phone.wait_for_timeout(3000)
    assert not [url for url in asked if "progress" in url]


def test_a_broken_line_keeps_the_clip_at_hand(page_phone, sign_in, lea, begun, film, axe, shot):
    sign_in(page_phone, lea)
    page_phone.goto(f"/submissions/{begun.pk}/clip/")
    page_phone.route("**/uploads/**", lambda route: route.abort("connectionreset"))
    with page_phone.watch.allowing("Failed to load resource"):
        choose(page_phone, film)
        again = page_phone.get_by_role("button", name="Tap to try again")
        again.wait_for()
        axe(page_phone)  # the page tries again by itself meanwhile
        shot(page_phone, "family-broken-line")
        page_phone.unroute("**/uploads/**")
        page_phone.get_by_role("heading", name="We have Ida’s clip").wait_for()


def test_what_is_no_film_is_refused_before_it_travels(page_phone, sign_in, lea, begun, tmp_path, shot):
    sign_in(page_phone, lea)
    page_phone.goto(f"/submissions/{begun.pk}/clip/")
    sent = []
    page_phone.on("request", lambda request: sent.append(request) if request.method != "GET" else None)
    for name, body, words in [
        ("empty.mp4", b"", "This file is empty"),
        ("swing.mp4", b"only text, renamed", "This file is no film"),
        ("photo.heic", b"\0\0\0\x24ftypheic\0\0\0\0", "This is a photo"),
    ]:
        path = tmp_path / name
        path.write_bytes(body)
        choose(page_phone, path)
        page_phone.get_by_text(words).wait_for()
    shot(page_phone, "family-refused")
    assert sent == []


def test_the_same_clip_twice_is_recognised(page_phone, sign_in, lea, begun, film):
    sign_in(page_phone, lea)
    for words in ("We have it.", "We have this very clip already"):
        page_phone.goto(f"/submissions/{begun.pk}/clip/")
        choose(page_phone, film)
        page_phone.get_by_text(words).wait_for()
    assert Clip.objects.count() == 1


def test_without_our_script_a_plain_form_does_it(open_page, sign_in, lea, begun, film):
    page = open_page(java_script_enabled=False)
    sign_in(page, lea)
    page.goto(f"/submissions/{begun.pk}/clip/")
    page.get_by_label("The clip").set_input_files(film)
    page.get_by_role("button", name="Send the clip").click()
    page.get_by_text("We have it.").wait_for()
    assert Clip.objects.get().original.read() == film.read_bytes()


def test_withdrawing_from_the_phone(page_phone, sign_in, lea, begun, axe, shot):
    people.make_clip(begun)
    Submission.objects.filter(pk=begun.pk).update(state=State.READY)
    sign_in(page_phone, lea)
    page_phone.goto(f"/submissions/{begun.pk}/")
    page_phone.get_by_role("link", name="Withdraw, and delete the clips").click()
    page_phone.wait_for_url("**/withdraw/")
    axe(page_phone)
    shot(page_phone, "family-withdraw")
    page_phone.get_by_role("button", name="Delete everything").click()
    page_phone.get_by_role("heading", name="Withdrawn and deleted").wait_for()
    shot(page_phone, "family-withdrawn")
    assert not Clip.objects.exists()


@pytest.mark.slow
@pytest.mark.parametrize(("theme", "size"), [("light", 360), ("dark", 1280)])
def test_every_page_of_the_family_is_clean_and_fits(open_page, sign_in, lea, camp, axe, shot, theme, size):
    player = lea.players.get()
    sent = {state: people.make_submission(player, camp, state) for state in State}
    Submission.objects.filter(pk=sent[State.FILM_AGAIN].pk).update(
        film_again_words="The feet are cut off, and that is where it begins. Two steps back, please."
    )
    failed = people.make_clip(sent[State.UNREADABLE])
    Measurement.objects.create(
        clip=failed, stage=Stage.FAILED, failure_words="We found nobody in this clip. Film from closer, in daylight."
    )
    running = people.make_clip(sent[State.MEASURING])
    Measurement.objects.create(clip=running, stage=Stage.WATCHING, done=132, total=240)
    page = open_page(viewport={"width": size, "height": 800}, color_scheme=theme)
    urls = {
        "home": "/",
        "filming": "/filming/",
        "invite-unknown": "/join/nosuchtoken/",
    }
    ours = {
        "home-family": "/family/",
        "player": f"/players/{player.pk}/",
        "player-edit": f"/players/{player.pk}/edit/",
        "player-sign-in": f"/players/{player.pk}/sign-in/",
        "name": "/family/name/",
        "send": f"/players/{player.pk}/camps/{camp.pk}/send/",
        "who-known": f"/join/{camp.invite_token}/who/",
        "clip": f"/submissions/{sent[State.UPLOADING].pk}/clip/",
        "consent-back": f"/consents/{player.consents.get().pk}/take-back/",
        **{f"status-{state.value}": f"/submissions/{sent[state].pk}/" for state in State},
    }
    for name, url in urls.items():
        _look(page, url, axe, shot, f"{name}-{size}-{theme}")
    sign_in(page, lea)
    for name, url in ours.items():
        _look(page, url, axe, shot, f"{name}-{size}-{theme}")


def _look(page, url, axe, shot, name) -> None:
    with page.watch.allowing("status of 404"):
        page.goto(url)
    axe(page)
    fits(page)
    shot(page, f"family-{name}")


@pytest.mark.slow
@pytest.mark.parametrize(("theme", "size"), [("light", 360), ("dark", 1280)])
def test_every_camp_and_owner_page_is_clean_and_fits(open_page, sign_in, lea, camp, axe, shot, theme, size):
    owner = people.make_user("owner@example.org", "Oda Verne", is_staff=True, is_superuser=True)
    coach = camp.coaches.get()
    for number, (name, state) in enumerate(
        [("Tom", State.READY), ("Joris", State.PUBLISHED), ("Ansa", State.RECEIVED)]
    ):
        player = people.make_player(camp, lea, first_name=name, birth_year=2012 + number)
        people.make_submission(player, camp, state)
    mail.get_connection("portal.outbox.backend.OutboxBackend").send_messages(
        [mail.EmailMessage("We have Ida’s clip", "Hello,\n\nIt has arrived:\nhttp://localhost/", None, [lea.email])]
    )
    page = open_page(viewport={"width": size, "height": 800}, color_scheme=theme)
    sign_in(page, coach)
    for name, url in {
        "list": "/camps/",
        "page": f"/camps/{camp.pk}/",
        "edit": f"/camps/{camp.pk}/edit/",
        "player": f"/players/{lea.players.first().pk}/",
    }.items():
        _look(page, url, axe, shot, f"camp-{name}-{size}-{theme}")
    sign_in(page, owner)
    for name, url in {"home": "/", "outbox": "/owner/outbox/", "email": "/owner/outbox/1/"}.items():
        _look(page, url, axe, shot, f"owner-{name}-{size}-{theme}")
