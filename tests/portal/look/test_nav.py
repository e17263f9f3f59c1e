"""The main navigation of each role."""

import pytest
from django.contrib.auth.models import AnonymousUser

from portal.look.nav import items


def labels(user, path="/"):
    return [str(item.label) for item in items(user, path)]


def test_a_coach_works_queue_camps_and_drills(coach):
    assert labels(coach) == ["Queue", "Camps", "Drills"]


def test_a_family_comes_to_its_players(guardian, player_user):
    assert labels(guardian) == labels(player_user) == ["Players"]


def test_a_coach_who_is_a_parent_too_has_both(coach, other_player):
    other_player.guardians.add(coach)
    assert labels(coach) == ["Queue", "Camps", "Drills", "Players"]


def test_the_owner_keeps_it_running_besides(owner):
    assert labels(owner)[-1] == "Site"


def test_nobody_has_nowhere_to_go():
    assert items(AnonymousUser(), "/") == []


@pytest.mark.parametrize(("path", "current"), [("/drills/thin-ice/", ["Drills"]), ("/queue/", ["Queue"]), ("/", [])])
def test_where_one_is_is_marked(coach, path, current):
    assert [str(item.label) for item in items(coach, path) if item.current] == current


def test_every_place_opens(sign_in, owner):
    client = sign_in(owner)
    for item in items(owner, "/"):
        assert client.get(item.url).status_code == 200, item.url


def test_the_page_marks_the_current_place(sign_in, coach):
    html = " ".join(sign_in(coach).get("/drills/").content.decode().split())
    assert '<a href="/drills/" aria-current="page">Drills' in html
