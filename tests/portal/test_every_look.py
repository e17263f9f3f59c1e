"""Every address that shows something of a child leaves a row in the log of who saw what, for every viewer who is not
family. An address that shows a child and is in neither table below fails: say what it shows, or why it is no look.
"""

import re

import pytest
from django.contrib import admin
from django.db import transaction
from django.urls import reverse

from portal.evaluations.models import AccessLogEntry
from tests.portal import world as worlds
from tests.portal.test_every_url import OURS, ROWS

pytestmark = pytest.mark.slow  # every address of the site again, asked for twice

built, world = worlds.built, worlds.world  # fixtures

SHOWS = {
    "player": "player",
    "player_age": "player",
    "submission": "page",
    "submission_progress": "page",
    "clip_file": "pictures",
    "clip_result": "numbers",
    "clip_correct": "numbers",
    "clip_skeleton": "numbers",
    "clip_still": "frames",
    "desk": "draft",
    "desk_cards": "numbers",
    "desk_preview": "preview",
    "desk_wanted": "numbers",
    "desk_compare": "numbers",
    "evaluation": "evaluation",
    "evaluation_pdf": "pdf",
    "evaluation_picture": "pictures",
    "email": "letter",  # as the log's rows have always called it
}
NO_LOOK = {
    "queue": "a list: name, age and how the film turned out; the picture in each line is noted when it is fetched",
    "camp": "a list: the names of the camp's players",
    "health_page": "a list: whose clip or PDF failed",
    "outbox": "a list: subjects and addresses",
    "desk_film_again": "a form that says whose film it is",
    "consent_take_back": "a form that says whose consent it is",
    "guardian_invite": "a form that says whose guardian is asked",
    "join_guardian": "the invitation, to whoever holds its link: who asks whom to be guardian of whom",
    "join_player": "the invitation, to whoever holds its link: who offers the sign-in to whom",
    "player_erase": "a question that says who is erased",
    "person_erase": "a question that says whose sign-in is erased, and which players go along",
    "owner_privacy": "a list: accounts, by name and address",
    "look": "samples, of an invented player",
}
OF_A_CHILD = re.compile(rb"\bIda\b|Sandvall|Keep the front foot|lea@example\.org")
PICTURES = ("image/", "video/", "application/pdf", "application/octet-stream")


def visit(name, world, role):
    """The answer to one address of the table, its body read, and what the log then holds. Nothing of it stays."""
    row = ROWS[name]
    args = [arg(world) if callable(arg) else arg for arg in row.args]
    data = {key: value(world) if callable(value) else value for key, value in row.data.items()}
    with transaction.atomic():
        answer = getattr(world.client(role), row.method)(reverse(name, args=args), data)
        body = b"".join(answer) if answer.streaming else answer.content
        noted = list(AccessLogEntry.objects.filter(user=world.people[role]).values_list("what", "player__first_name"))
        transaction.set_rollback(True)
    return answer, body, noted


@pytest.mark.parametrize("name", sorted(SHOWS))
def test_what_is_shown_is_noted(name, world):
    for role in ("coach", "owner"):
        if _status(name, role) == 404:
            continue
        _answer, _body, noted = visit(name, world, role)
        assert (SHOWS[name], "Ida") in noted, role


def _status(name, role):
    return ROWS[name].statuses[worlds.ROLES.index(role)]


@pytest.mark.parametrize("name", sorted(set(OURS) - set(SHOWS)))
def test_no_other_address_shows_a_child(name, world):
    for role in ("coach", "owner"):
        answer, body, noted = visit(name, world, role)
        shows = bool(OF_A_CHILD.search(body)) or answer.get("Content-Type", "").startswith(PICTURES)
        assert not shows or name in NO_LOOK, f"{name} shows a child to the {role}: note it, or say why it is no look"
        assert not noted, f"{name} notes a look and is not in the table"


@pytest.mark.parametrize("role", ["other_coach", "other_guardian"])
@pytest.mark.parametrize("name", sorted(SHOWS))
def test_who_is_refused_saw_nothing(name, role, world):
    assert visit(name, world, role)[2] == []


def test_the_tables_name_addresses_there_are():
    assert set(SHOWS) | set(NO_LOOK) <= set(OURS)


def rows_about_children(world):
    for model, table in admin.site._registry.items():
        row = model._default_manager.first()
        if row is not None and _is_about_a_child(row):
            yield f"admin:{model._meta.app_label}_{model._meta.model_name}", row, table


def _is_about_a_child(row):
    """By its foreign keys, not by the log's own idea of it."""
    if row._meta.model_name in ("player", "email"):
        return True
    names = {field.related_model._meta.model_name for field in row._meta.fields if field.related_model}
    return bool(names & {"player", "submission", "clip", "review"})


def test_the_owners_tables_note_each_row_about_a_child(world):
    found = list(rows_about_children(world))
    assert len(found) >= 8
    for name, row, _table in found:
        for page in ("change", "history"):
            with transaction.atomic():
                world.client("owner").get(reverse(f"{name}_{page}", args=[row.pk]))
                noted = set(AccessLogEntry.objects.filter(user=world.people["owner"]).values_list("what", flat=True))
                transaction.set_rollback(True)
            assert noted == {"letter" if name.endswith("_email") else "row"}, (name, page)
