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


@pytest.fixture
def unproven():
    """An account as `createsuperuser` makes it: a password, and an address that nobody has confirmed."""
    from portal.people.models import User
    from tests.portal.conftest import PASSWORD

    return User.objects.create_superuser("vera@example.org", PASSWORD)


def type_codes_in(client, asked, mailoutbox):
    """Type in each code that is asked for, until none is."""
    for _again in range(3):
        assert asked.status_code == 200
        if "_auth_user_id" in client.session:
            return
        code = next(line.strip() for line in mailoutbox[-1].body.splitlines() if len(line.strip()) in (6, 7, 9))
        asked = client.post(asked.redirect_chain[-1][0], {"code": code}, follow=True)


def test_an_account_that_no_fixture_made_gets_in_by_password(stranger, unproven, mailoutbox):
    """Found on a real site: an error at the page that asks for the code."""
    from tests.portal.conftest import PASSWORD

    asked = stranger.post("/accounts/login/", {"login": unproven.email, "password": PASSWORD}, follow=True)
    assert unproven.email in asked.content.decode()
    type_codes_in(stranger, asked, mailoutbox)
    assert stranger.session["_auth_user_id"] == str(unproven.pk)


def test_an_account_that_no_fixture_made_gets_in_by_code(stranger, unproven, mailoutbox):
    asked = stranger.post("/accounts/login/code/", {"email": unproven.email}, follow=True)
    assert unproven.email in asked.content.decode()
    type_codes_in(stranger, asked, mailoutbox)
    assert stranger.session["_auth_user_id"] == str(unproven.pk)
