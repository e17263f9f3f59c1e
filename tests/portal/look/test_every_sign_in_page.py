"""Every flow of signing in, walked with accounts that no fixture made, and every template that it can reach.

The package behind the sign-in renders the same template from several flows with different variables. So each flow is
walked, each page is looked at, and a template that no walk reached is either named here as unreachable or fails.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import allauth
import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP, format_hotp_value, hotp_value
from django.core import mail
from django.core.cache import cache
from django.template import engines
from django.test import Client
from django.test.signals import template_rendered
from django.urls import reverse

from portal.camps.models import Camp
from portal.owner import coach_invites
from portal.people.models import User
from tests.portal.conftest import PASSWORD
from tests.portal.people.test_player_sign_in import code_in

pytestmark = pytest.mark.django_db
THEIRS = Path(allauth.__file__).parent / "templates"
MISSING = "NO-SUCH-VARIABLE"
# What no address of ours leads to; each with the setting that would open it.
UNREACHABLE = {
    "account/email.html": "accounts/email/ is switched off: an account has one address",
    "account/email_change.html": "the same",
    "account/email_confirm.html": "addresses are proven by code (EMAIL_VERIFICATION_BY_CODE_ENABLED)",
    "account/verification_sent.html": "the same",
    "account/verified_email_required.html": "the same",
    "account/confirm_password_reset_code.html": "passwords are reset by link (PASSWORD_RESET_BY_CODE_ENABLED)",
    "account/confirm_phone_verification_code.html": "there are no phone numbers",
    "account/phone_change.html": "the same",
    "account/signup_by_passkey.html": "MFA_PASSKEY_SIGNUP_ENABLED is off",
    "mfa/webauthn/signup_form.html": "the same",
    "mfa/trust.html": "MFA_TRUST_ENABLED is off",
}
FOREIGN = [
    "Sign Up",
    "Forgot your",
    "security key",
    "Two-Factor",
    "Third-Party",
    "social",
    "username",
    "phone number",
    "example.com",
]
SHELLS = re.compile(
    r"/base(_\w+)?\.html$|/layouts/|/snippets/"
)  # they hold other templates, and say nothing themselves


class Walk:
    """A browser that looks at every page it gets, and remembers by which templates it was made."""

    def __init__(self) -> None:
        self.rendered: dict[str, str] = {}
        self.client = Client()

    def saw(self, sender: Any, template: Any, **kwargs: Any) -> None:
        if template.name:
            self.rendered[template.name] = str(template.origin)

    def new(self) -> Walk:
        self.client = Client()
        cache.clear()  # another day: the rates of the last walk do not count
        mail.outbox.clear()
        return self

    def go(self, url: str, data: dict[str, Any] | None = None) -> Any:
        """Open or send a page, follow where it leads, and look at what comes."""
        page = self.client.get(url, follow=True) if data is None else self.client.post(url, data, follow=True)
        assert page.status_code == 200, (url, page.status_code)
        if "html" in page["Content-Type"]:
            assert "css/tokens" in page.text, f"{url} is in foreign clothes"
            assert page.text.count("<h1") == 1, url
            shown = re.sub(r"<script.*?</script>", "", page.text, flags=re.S)
            words = re.sub(r"<[^>]*>", " ", shown)
            assert MISSING not in shown, f"{url} names a variable that is not there"
            assert not [word for word in FOREIGN if word.lower() in words.lower()], url
        self.at = page.redirect_chain[-1][0] if page.redirect_chain else url
        return page

    def code(self) -> str:
        return code_in(mail.outbox[-1])

    @property
    def is_in(self) -> bool:
        return "_auth_user_id" in self.client.session


@pytest.fixture
def walk(settings: Any) -> Iterator[Walk]:
    """With every variable that a template names and does not find shown as MISSING."""
    settings.SECOND_FACTOR = True
    engine = engines["django"].engine
    before, engine.string_if_invalid = engine.string_if_invalid, MISSING
    walk = Walk()
    template_rendered.connect(walk.saw)
    yield walk
    template_rendered.disconnect(walk.saw)
    engine.string_if_invalid = before


def by_terminal() -> User:
    return User.objects.create_superuser("vera@example.org", PASSWORD)


def by_admin() -> User:
    owner = User.objects.create_superuser("oda@example.org", PASSWORD)
    TOTP.activate(owner, "A" * 32)
    client = Client()
    client.force_login(owner)
    about = {"email": "ansa@example.org", "name": "Ansa Brock", "is_coach": "on", "usable_password": "true"}
    made = client.post("/admin/people/user/add/", {**about, "password1": PASSWORD, "password2": PASSWORD})
    assert made.status_code == 302, made.text
    return User.objects.get(email="ansa@example.org")


def by_invitation() -> User:
    """A family that came in by a camp's link: no password, and an address that a code has proven."""
    camp = Camp.objects.create(name="Lindholt fall camp")
    client = Client()
    page = client.post(reverse("join", args=[camp.invite_token]), {"email": "nele@example.org"})
    client.post(page.url, {"code": code_in(mail.outbox[-1])})
    return User.objects.get(email="nele@example.org")


MAKERS = [by_terminal, by_admin, by_invitation]


@pytest.mark.parametrize("make", MAKERS)
def test_one_code_is_enough(make: Callable[[], User], walk: Walk) -> None:
    """It proves the address: nobody is asked for a second one."""
    user = make()
    walk.new().go(reverse("account_request_login_code"), {"email": user.email})
    walk.go(walk.at, {"code": walk.code()})
    assert walk.is_in
    assert len(mail.outbox) == 1


def test_a_mistyped_address_is_left_for_another_one(walk: Walk) -> None:
    """Every page of signing in leads to the code that was asked for: the way out stands there, by its name."""
    user, asks = by_terminal(), reverse("account_request_login_code")
    for before, after in ((asks, asks), (f"{asks}?next=/family/", f"{asks}?next=%2Ffamily%2F")):
        walk.new().go(before, {"email": "vrea@example.org"})
        assert walk.go(reverse("account_login")).redirect_chain[-1][0] == reverse("account_confirm_login_code")
        page = walk.go(before.replace(asks, reverse("account_confirm_login_code")))
        assert "The code goes to <strong>vrea@example.org</strong>" in page.text
        form = re.search(r'<form id="stop-signing-in".*?</form>', page.text, re.S)[0]  # type: ignore[index]
        assert 'form="stop-signing-in">Use another address</button>' in page.text
        assert f'name="next" value="{after}"' in form
        walk.go(reverse("account_logout"), {"next": after})
        assert walk.at == after
        walk.go(walk.at, {"email": user.email})
        walk.go(walk.at, {"code": walk.code()})
        assert walk.is_in


@pytest.mark.parametrize("make", [by_terminal, by_admin])
def test_a_password_lets_in(make: Callable[[], User], walk: Walk) -> None:
    user = make()
    walk.new().go(reverse("account_login"), {"login": user.email, "password": PASSWORD})
    if not walk.is_in:
        walk.go(walk.at, {"code": walk.code()})
    assert walk.is_in


def test_an_account_of_the_terminal_needs_no_email(walk: Walk) -> None:
    """On a new site no mail server may be named yet: the owner gets in all the same."""
    user = by_terminal()
    walk.new().go(reverse("account_login"), {"login": user.email, "password": PASSWORD})
    assert walk.is_in
    assert mail.outbox == []


@pytest.mark.slow
def test_every_page_of_signing_in(walk: Walk) -> None:
    for stroll in (signing_in, signing_up, forgetting_the_password, changing_the_password, setting_up_a_second_step,
                   signing_in_with_a_second_step, closed_doors):  # fmt: skip
        stroll(walk.new())
    names = {str(path.relative_to(THEIRS)) for app in ("account", "mfa") for path in (THEIRS / app).rglob("*.html")}
    pages = {name for name in names if not SHELLS.search(f"/{name}")}
    assert pages - set(walk.rendered) == set(UNREACHABLE) | NEEDS_A_DEVICE
    theirs = {name for name, origin in walk.rendered.items() if str(THEIRS) in origin and not SHELLS.search(f"/{name}")}
    assert theirs == set(), "left in the package's own clothes"


# Pages that show a passkey, which only a browser can make: tests/browser/test_second_step.py
NEEDS_A_DEVICE = {
    "mfa/webauthn/authenticator_confirm_delete.html",
    "mfa/webauthn/edit_form.html",
    "mfa/webauthn/reauthenticate.html",
}


def signing_in(walk: Walk) -> None:
    user = by_invitation()
    walk.new().go(reverse("account_login"))
    walk.go(reverse("account_login"), {"login": user.email, "password": "wrong"})
    walk.go(reverse("account_request_login_code"))
    walk.go(reverse("account_request_login_code"), {"email": "nobody@example.org"})
    walk.go(walk.at, {"code": "AAAA-AAAA"})
    walk.new().go(reverse("account_request_login_code"), {"email": user.email})
    walk.go(walk.at, {"action": "resend"})
    walk.go(walk.at, {"code": "wrong"})
    walk.go(walk.at, {"code": walk.code()})
    assert walk.is_in
    walk.go(reverse("account_logout"))
    walk.go(reverse("account_logout"), {})
    assert not walk.is_in


def signing_up(walk: Walk) -> None:
    """The page is not linked; an invited browser that guesses its address meets our words."""
    walk.go(reverse("account_signup"))
    walk.go(reverse("join", args=[Camp.objects.get().invite_token]))
    walk.go(reverse("account_signup"))
    walk.go(reverse("account_signup"), {"email": "new@example.org"})
    walk.go(walk.at, {"code": "wrong"})
    walk.go(walk.at, {"code": walk.code()})
    assert walk.is_in


def forgetting_the_password(walk: Walk) -> None:
    user = User.objects.create_superuser("wilma@example.org", PASSWORD)
    walk.go(reverse("account_reset_password"))
    walk.go(reverse("account_reset_password"), {"email": "nobody@example.org"})
    walk.go(reverse("account_reset_password"), {"email": user.email})
    link = re.search(r"http://\S+?(/accounts/password/\S+)", mail.outbox[-1].body)
    assert link
    walk.go(link[1])
    walk.go(walk.at, {"password1": "x", "password2": "y"})
    walk.go(walk.at, {"password1": "second base by dusk", "password2": "second base by dusk"})
    walk.new().go(link[1])  # the link once more


def changing_the_password(walk: Walk) -> None:
    user = User.objects.get(email="nele@example.org")
    walk.client.force_login(user)
    walk.go(reverse("account_set_password"))
    walk.go(walk.at, {"password1": PASSWORD, "password2": PASSWORD})
    user.refresh_from_db()
    walk.new().client.force_login(user)
    walk.go(reverse("mfa_activate_totp"))
    assert walk.at.startswith(reverse("account_reauthenticate"))
    walk.go(walk.at, {"password": "wrong"})
    walk.go(walk.at, {"password": PASSWORD})
    new = {"password1": "second base by dusk", "password2": "second base by dusk"}
    walk.go(reverse("account_change_password"))
    walk.go(walk.at, {"oldpassword": "wrong", **new})
    walk.go(walk.at, {"oldpassword": PASSWORD, **new})


def setting_up_a_second_step(walk: Walk) -> None:
    user = by_terminal()
    walk.go(reverse("account_login"), {"login": user.email, "password": PASSWORD})
    walk.go(reverse("queue"))
    assert walk.at == reverse("mfa_index")
    walk.go(reverse("mfa_add_webauthn"))
    walk.go(reverse("mfa_list_webauthn"))
    page = walk.go(reverse("mfa_activate_totp"))
    walk.go(reverse("mfa_activate_totp"), {"code": "000000"})
    walk.go(reverse("mfa_activate_totp"), {"code": digits(page.context["form"].secret)})
    assert walk.at == reverse("mfa_view_recovery_codes")
    for name in ("mfa_download_recovery_codes", "mfa_generate_recovery_codes", "mfa_deactivate_totp", "mfa_index"):
        walk.go(reverse(name))
    walk.go(reverse("mfa_deactivate_totp"), {})
    assert Authenticator.objects.filter(user=user, type="totp").exists(), "an owner’s only second step was let go"
    walk.go(reverse("mfa_generate_recovery_codes"), {})
    walk.go(reverse("queue"))
    assert walk.at == reverse("queue")


def signing_in_with_a_second_step(walk: Walk) -> None:
    user = User.objects.get(email="vera@example.org")
    walk.go(reverse("account_request_login_code"), {"email": user.email})
    walk.go(walk.at, {"code": walk.code()})
    assert walk.at == reverse("mfa_authenticate")
    walk.go(walk.at, {"code": "000000"})
    assert not walk.is_in
    codes = RecoveryCodes(Authenticator.objects.get(user=user, type="recovery_codes")).get_unused_codes()
    walk.go(walk.at, {"code": codes[0]})
    assert walk.is_in
    walk.new().client.force_login(user)
    walk.go(reverse("mfa_activate_totp"))
    walk.go(reverse("mfa_reauthenticate"))
    walk.go(reverse("mfa_reauthenticate"), {"code": "000000"})


def closed_doors(walk: Walk) -> None:
    walk.go(reverse("account_inactive"))
    for name in ("account_email_verification_sent", "account_confirm_login_code", "mfa_authenticate"):
        walk.go(reverse(name))
    User.objects.filter(email="nele@example.org").update(is_active=False)
    walk.go(reverse("account_login"), {"login": "nele@example.org", "password": "second base by dusk"})
    walk.go(reverse("account_request_login_code"), {"email": "nele@example.org"})
    assert not walk.is_in


def digits(secret: str) -> str:
    """What the app on the phone shows just now."""
    return format_hotp_value(hotp_value(secret, int(time.time()) // 30))


def test_an_invited_coach_comes_in(walk: Walk) -> None:
    owner = by_terminal()
    invite = coach_invites.invite(owner, "ansa@example.org")
    link = reverse("join_coach", args=[coach_invites.token_for(invite)])
    walk.new().go(link)
    walk.go(link, {})
    walk.go(walk.at, {"code": walk.code()})
    walk.go(walk.at, {"name": "Ansa Brock"})
    assert walk.at == reverse("mfa_index"), "no page with players opens before the second step"
    coach = User.objects.get(email="ansa@example.org")
    assert (coach.is_coach, coach.name) == (True, "Ansa Brock")


def test_too_often_is_said_in_our_words(client: Client) -> None:
    """Found while walking: the package's own page, in no clothes at all."""
    for _again in range(31):
        page = client.post(reverse("account_login"), {"login": "x@example.org", "password": "wrong"})
    assert page.status_code == 429
    assert "css/tokens" in page.text
    assert "Nothing is lost" in page.text
