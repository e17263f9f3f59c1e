"""A name is a name: at the forms, and again in emails."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from portal.people.names import defused, plain_name

NAMES = [
    "Ida",
    "J.R.",
    "Mary-Jane",
    "O’Neil",
    "Zoë",
    "Nguyễn Thị",
    "محمد",
    "नेहा",
    "می\u200cنا",
    "李小龙",
    "Ida 2",
    "St. John",
]
NO_NAMES = [
    "http", "Win at evil.com", "www.evil", "a@b", "Ida/Bo", "Ida\nBcc", "Ida\u202e", "Ida\u2028x", "Ida\x00", "<b>Ida", "tel:1",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_names_are_taken(name):
    plain_name(name)


@pytest.mark.parametrize("name", NO_NAMES)
def test_links_addresses_and_unseen_signs_are_refused(name):
    with pytest.raises(ValidationError):
        plain_name(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_name_stands_in_an_email_as_it_was_typed(name):
    assert defused(name) == name


@pytest.mark.parametrize(
    ("name", "seen"),
    [
        ("http://evil.example/a", "evil. example a"),
        ("Ida\r\nBcc: x@y.z", "Ida Bcc x y.z"),
        ("x" * 100, "x" * 39 + "…"),
        ("\u202eadI", "adI"),
    ],
)
def test_whatever_the_database_holds_is_one_short_line_without_a_link(name, seen):
    assert defused(name) == seen


def test_the_player_form_says_kindly_what_to_write(sign_in, guardian, player):
    data = {"first_name": "www.evil.example", "birth_year": date.today().year - 11, "hits": "", "sport": "baseball"}
    page = sign_in(guardian).post(reverse("player_edit", args=[player.pk]), data)
    assert "Please write the name alone" in page.text
    player.refresh_from_db()
    assert player.first_name == "Ida"


def test_the_name_form_does_too(sign_in, guardian):
    page = sign_in(guardian).post(reverse("name"), {"name": "Win @ evil"})
    assert "without / \\ @" in page.text
    guardian.refresh_from_db()
    assert guardian.name == "Lea Sandvall"


def test_a_family_that_joins_is_held_to_it_as_well(sign_in, guardian, camp):
    guardian.name = ""
    guardian.save()
    data = {
        "who": "child", "first_name": "Bo", "birth_year": date.today().year - 11, "hits": "", "sport": "baseball",
        "your_name": "http evil", "agree": "on",
    }  # fmt: skip
    page = sign_in(guardian).post(reverse("join_who", args=[camp.invite_token]), data)
    assert "looks like a web address" in page.text
