"""The owner's pages and those of the second step: on a phone and a desktop, light and dark, and with a real passkey."""

from __future__ import annotations

from typing import Any

import pytest
from allauth.mfa.totp.internal.auth import TOTP
from django.core import mail

from portal.camps.models import Camp
from portal.owner import coach_invites, first_link
from portal.owner.models import Site
from portal.people.models import User
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.real_site import give_passkeys
from tests.browser.width import fits
from tests.portal.conftest import make_user
from tests.portal.people.test_player_sign_in import code_in

SIZES = {"phone": PHONE, "desktop": DESKTOP}
# Every size and every theme, without all pairs of them: layout hangs on the one, contrast on the other.
each_look = pytest.mark.parametrize(("size", "theme"), [("phone", "light"), ("desktop", "dark")])


@pytest.fixture
def site(site: str, settings: Any) -> str:
    """By name: browsers make no passkey for a number."""
    settings.SITE_URL = site.replace("127.0.0.1", "localhost")
    return str(settings.SITE_URL)


@pytest.fixture
def owner(site: str, settings: Any) -> User:
    settings.SECOND_FACTOR = True
    return make_user("oda@example.org", "Oda Verne", is_staff=True, is_superuser=True)


@pytest.fixture
def at_work(owner: User) -> User:
    """A site with a camp, coaches and an invitation under way; the owner has a second step."""
    TOTP.activate(owner, "A" * 32)
    Site.get()
    Site.objects.update(name="Lindholt swings")
    camp = Camp.objects.create(name="Lindholt fall camp, girls and boys from eight to twelve")
    camp.coaches.add(owner, make_user("maren@example.org", "Maren Oduya-Sandvall", is_coach=True))
    off = make_user("tibor.quist.of.the.long.address@mail.example.org", "", is_coach=False)
    camp.coaches.add(off)
    coach_invites.invite(owner, "ansa.brock@example.org", [camp])
    return owner


def look(page: Any, axe: Any, shot: Any, address: str, name: str) -> None:
    page.goto(address)
    fits(page)
    axe(page)
    shot(page, name)


@each_look
def test_the_owners_pages(size, theme, at_work, open_page, sign_in, axe, shot) -> None:
    page = open_page(**SIZES[size], color_scheme=theme)
    sign_in(page, at_work)
    coach = User.objects.get(email="maren@example.org")
    for name, address in {
        "home": "/owner/", "start": "/owner/start/", "people": "/owner/people/", "site": "/owner/site/",
        "person": f"/owner/people/{coach.pk}/", "camp-coaches": f"/owner/camps/{Camp.objects.get().pk}/coaches/",
        "step": "/accounts/second-step/",
    }.items():  # fmt: skip
        look(page, axe, shot, address, f"owner-{name}-{size}-{theme}")


@each_look
def test_the_pages_of_coming_in(size, theme, site, settings, open_page, axe, shot) -> None:
    page = open_page(**SIZES[size], color_scheme=theme)
    settings.OUTBOX_FORWARDS_TO = None
    look(page, axe, shot, first_link.new_link(), f"first-link-{size}-{theme}")
    owner = make_user("oda@example.org", "Oda Verne", is_staff=True)
    invite = coach_invites.invite(owner, "ansa@example.org")
    look(page, axe, shot, f"/join/coach/{coach_invites.token_for(invite)}/", f"join-coach-{size}-{theme}")
    page.goto("/accounts/login/")
    axe(page)
    shot(page, f"login-{size}-{theme}")


@each_look
def test_setting_the_step_up_and_using_it(size, theme, owner, site, open_page, axe, shot) -> None:
    """Made with the device's passkey, asked for at the next sign-in, renamed, and kept as the only one."""
    page = open_page(**SIZES[size], color_scheme=theme)
    give_passkeys(page)
    by_code(page, owner)
    page.goto("/queue/")
    for name, address in {"choose": "/accounts/second-step/", "app": "/accounts/second-step/totp/activate/",
                          "add-passkey": "/accounts/second-step/webauthn/add/"}.items():  # fmt: skip
        look(page, axe, shot, address, f"step-{name}-{size}-{theme}")
    page.get_by_label("Name").fill("my phone")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Recovery codes").wait_for()
    fits(page)
    axe(page)
    shot(page, f"step-recovery-{size}-{theme}")
    page.get_by_role("link", name="I have kept them").click()
    page.wait_for_url("/queue/")
    page.context.clear_cookies()
    mail.outbox.clear()
    by_code(page, owner)
    page.get_by_role("heading", name="The second step").wait_for()
    axe(page)
    shot(page, f"step-asked-{size}-{theme}")
    page.get_by_role("button", name="Use my passkey").click()
    page.wait_for_url("/owner/")
    page.goto("/accounts/second-step/webauthn/")
    axe(page)
    shot(page, f"step-passkeys-{size}-{theme}")
    page.get_by_role("link", name="Rename").click()
    page.get_by_label("Name").fill("my old phone")
    page.get_by_role("button", name="Save").click()
    page.get_by_text("my old phone").first.wait_for()
    page.get_by_role("link", name="Take away").click()
    page.get_by_text("It is your only second step").wait_for()
    axe(page)


def by_code(page: Any, user: User) -> None:
    page.goto("/accounts/login/code/")
    page.get_by_label("Email").fill(user.email)
    page.get_by_role("button", name="Send the code").click()
    page.get_by_role("heading", name="Type in the code").wait_for()
    page.get_by_label("Code").fill(code_in(mail.outbox[-1]))
    page.get_by_role("button", name="Go on").click()


def test_a_device_that_refuses_is_said_in_words(owner, site, page_desktop) -> None:
    page = page_desktop
    by_code(page, owner)
    page.goto("/accounts/second-step/webauthn/add/")
    page.evaluate("() => { navigator.credentials.create = () => Promise.reject(new Error('no')); }")
    page.get_by_role("button", name="Go on").click()
    page.get_by_text("The device made no passkey").wait_for()
