"""Sign-in pages stand on our base: no page of the accounts package is left in its own clothes."""

from pathlib import Path

import allauth
import pytest
from django.template.loader import get_template

THEIRS = Path(allauth.__file__).parent / "templates"
PAGES = sorted(p.name for p in (THEIRS / "account").glob("*.html") if not p.name.startswith("base_"))
ELEMENTS = sorted(p.name for p in (THEIRS / "allauth" / "elements").glob("*.html"))

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", PAGES)
def test_every_account_page_loads(name):
    assert get_template(f"account/{name}")


@pytest.mark.parametrize("name", ELEMENTS)
def test_every_element_is_ours(name):
    assert str(THEIRS) not in get_template(f"allauth/elements/{name}").origin.name


@pytest.mark.parametrize("name", ["base", "entrance", "manage"])
def test_every_layout_is_ours(name):
    assert str(THEIRS) not in get_template(f"allauth/layouts/{name}.html").origin.name


@pytest.mark.parametrize(
    "url", ["/accounts/login/", "/accounts/login/code/", "/accounts/password/reset/", "/accounts/password/reset/done/"]
)
def test_entrance_pages_wear_the_app(stranger, url):
    html = stranger.get(url).content.decode()
    assert "css/tokens" in html
    assert 'class="mark"' in html
    assert html.count("<h1") == 1


@pytest.mark.parametrize(
    "url", ["/accounts/logout/", "/accounts/password/change/", "/accounts/email/", "/accounts/reauthenticate/"]
)
def test_pages_of_the_account_wear_the_app(sign_in, guardian, url):
    html = sign_in(guardian).get(url, follow=True).content.decode()
    assert "css/tokens" in html
    assert html.count("<h1") == 1


def test_a_code_is_asked_for_and_mailed(stranger, guardian, mailoutbox):
    page = stranger.post("/accounts/login/code/", {"email": guardian.email}, follow=True).content.decode()
    assert "Type in the code" in page
    assert "It works for fifteen minutes" in mailoutbox[0].body


def test_sign_in_takes_a_password_too(stranger, guardian):
    from tests.portal.conftest import PASSWORD

    assert 'type="password"' in stranger.get("/accounts/login/").content.decode()
    response = stranger.post("/accounts/login/", {"login": guardian.email, "password": PASSWORD})
    assert response.status_code == 302
    assert stranger.session["_auth_user_id"] == str(guardian.pk)
