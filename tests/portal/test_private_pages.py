"""Browsers keep nothing of a page or a picture; after signing out they are asked to forget."""

import pytest
from django.urls import reverse

from tests.portal import world as worlds
from tests.portal.test_every_url import OURS, ROWS

pytestmark = pytest.mark.slow  # every page of four people

built, world = worlds.built, worlds.world  # fixtures


@pytest.mark.parametrize("role", ["stranger", "guardian", "coach", "owner"])
def test_no_address_may_be_kept(role, world):
    """Every answer there is: pages, redirects, refusals, pictures, film, JSON."""
    for name in OURS:
        row = ROWS[name]
        args = [arg(world) if callable(arg) else arg for arg in row.args]
        answer = getattr(world.client(role), "get" if row.method == "get" else "head")(reverse(name, args=args))
        assert "no-store" in answer["Cache-Control"], name


@pytest.mark.parametrize("page", ["/no-such-page/", "/admin/login/"])
def test_refusals_may_not_be_kept_either(page, client, db):
    assert "no-store" in client.get(page)["Cache-Control"]


def test_signing_out_makes_the_browser_forget(world):
    client = world.client("guardian")
    assert "Clear-Site-Data" not in client.get(reverse("family"))
    assert client.post(reverse("account_logout"))["Clear-Site-Data"] == '"cache", "storage"'
    assert "Clear-Site-Data" not in client.get(reverse("home"))


def test_signing_out_leaves_the_store_alone_where_the_page_asks_for_it(world):
    client = world.client("guardian")
    assert client.post(reverse("account_logout"), {"others": "kept"})["Clear-Site-Data"] == '"cache"'


def test_an_address_with_a_secret_is_told_to_nobody(client, world):
    url = reverse("join", args=[world.camp.invite_token])
    assert client.get(url)["Referrer-Policy"] == "strict-origin"
    assert client.get(reverse("account_login"), {"next": url})["Referrer-Policy"] == "strict-origin"
    assert client.get(reverse("account_login"))["Referrer-Policy"] == "same-origin"
