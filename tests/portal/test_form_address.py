"""Whom the sign-in leads back to a form's address finds the page on which the form stands, at every address there is.

A session ends in the middle of a form: the post goes to the sign-in, and from there a GET comes to the form's address. Where
that address takes posts alone it has a line in STANDS_AT; one for programs, which nobody is led to, stands in PROGRAMS.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from tests.portal import world as worlds
from tests.portal.test_every_url import OURS, ROWS, pk
from tests.portal.world import ROLES, World

pytestmark = pytest.mark.slow  # every address of the site

built, world = worlds.built, worlds.world  # fixtures

Page = tuple[Any, ...]
DESK: Page = ("desk", pk("submission"))
STANDS_AT: dict[str, Page] = {
    "camp_invite": ("camp", pk("camp")),
    "submission_note": ("submission", pk("submission")),
    "queue_hand_over": ("queue",),
    "phrase_delete": ("phrases",),
    "desk_claim": DESK,
    "desk_hand_over": DESK,
    "desk_release": DESK,
    "desk_swing": DESK,
    "desk_reread_seen": DESK,
    "desk_publish": DESK,
    "evaluation_practice": ("evaluation", pk("evaluation")),
    "evaluation_ask": ("evaluation", pk("evaluation")),
    "evaluation_answer": ("evaluation", pk("evaluation")),
    "evaluation_pdf_again": ("health_page",),
    "measure_again": ("health_page",),
    "test_mail": ("owner_home",),
    "person_change": ("person", lambda world: world.people["coach"].pk),
    "coach_invite_revoke": ("people",),
    "take_everything": ("family",),
    "email_again": ("email", pk("email")),
    "email_give_up": ("email", pk("email")),
}
# Asked by scripts, which hear a status and stay where they are: uploads by their protocol, and the desk's changes.
PROGRAMS = {
    "clip_upload", "upload_new", "upload", "clip_correct",
    "desk_draft", "desk_changes", "desk_counting", "desk_rating", "desk_markup", "desk_assignment",
}  # fmt: skip
POSTED = sorted(name for name, row in ROWS.items() if row.method != "get")


def address(name: str, args: tuple[Any, ...], world: World) -> str:
    return reverse(name, args=[arg(world) if callable(arg) else arg for arg in args])


def those_who_may(name: str) -> list[str]:
    return [
        role for role, status in zip(ROLES, ROWS[name].statuses, strict=True) if role != "stranger" and status < 400
    ]


@pytest.mark.parametrize("name", POSTED)
def test_an_address_that_takes_posts_leads_to_the_page_of_its_form(name: str, world: World) -> None:
    assert (name in STANDS_AT) != (name in PROGRAMS), f"{name} has no line here: say where its form stands"
    if name in PROGRAMS:
        return
    url, page = address(name, ROWS[name].args, world), address(*_split(STANDS_AT[name]), world)
    assert those_who_may(name)
    for role in those_who_may(name):
        answer = world.client(role).get(url)
        assert answer.status_code == 302, (role, answer.status_code)
        assert answer["Location"].partition("#")[0].partition("?")[0] == page, role
        assert world.client(role).get(page).status_code == 200, role


def _split(page: Page) -> tuple[str, Page]:
    return page[0], page[1:]


@pytest.mark.parametrize("name", sorted(STANDS_AT))
def test_who_may_not_use_the_form_is_led_nowhere_but_to_a_page_of_theirs(name: str, world: World) -> None:
    url = address(name, ROWS[name].args, world)
    others = [role for role, status in zip(ROLES, ROWS[name].statuses, strict=True) if status == 404]
    for role in others:
        answer = world.client(role).get(url)
        assert answer.status_code in (302, 404), role
        if answer.status_code == 302:  # who reads the page, and has no form there
            assert world.client(role).get(answer["Location"]).status_code == 200, role


@pytest.mark.parametrize("name", OURS)
def test_nobody_is_led_to_an_address_that_refuses_them(name: str, world: World) -> None:
    """By what the site does, whatever a table says: a post that is sent to the sign-in can come back by GET."""
    url = address(name, ROWS[name].args, world)
    answer = world.client("stranger").post(url)
    is_led = answer.status_code == 302 and answer["Location"].startswith(reverse("account_login"))
    assert not (is_led and name in PROGRAMS), "a script would take the sign-in's page for its answer"
    if not is_led:
        return
    for role in those_who_may(name) or ["owner"]:
        assert world.client(role).get(url).status_code in (200, 302, 400, 404), role


@pytest.mark.parametrize("name", sorted(PROGRAMS))
def test_a_script_that_is_signed_out_is_told_by_a_status(name: str, world: World) -> None:
    answer = world.client("stranger").post(address(name, ROWS[name].args, world))
    assert 400 <= answer.status_code < 500


def test_leaving_the_tables_by_a_link_leads_to_the_tables(world: World) -> None:
    answer = world.client("owner").get(reverse("admin:logout"))
    assert (answer.status_code, answer["Location"]) == (302, reverse("admin:index"))
    assert world.client("owner").post(reverse("admin:logout"))["Location"] == reverse("home")


def _takes_posts_alone(name: str, world: World, kept: Callable[[World], str]) -> bool:
    return all(world.client(role).get(kept(world)).status_code == 405 for role in ROLES)


@pytest.mark.parametrize("name", OURS)
def test_what_takes_no_get_is_known_to_be_for_programs(name: str, world: World) -> None:
    if _takes_posts_alone(name, world, lambda world: address(name, ROWS[name].args, world)):
        assert name in PROGRAMS, f"{name} answers 405 to whoever is led to it"


def test_a_form_from_a_page_of_another_account_changes_nothing_and_leads_to_the_page(world: World) -> None:
    url, page = reverse("camp_invite", args=[world.camp.pk]), reverse("camp", args=[world.camp.pk])
    token, client = world.camp.invite_token, world.client("coach")
    assert client.post(url, {"do": "renew", "account": str(world.people["owner"].pk)})["Location"] == page
    world.camp.refresh_from_db()
    assert world.camp.invite_token == token
    client.post(url, {"do": "renew", "account": str(world.people["coach"].pk)})
    world.camp.refresh_from_db()
    assert world.camp.invite_token != token
