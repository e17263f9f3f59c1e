"""What we promise about children, as pages: looked at in both sizes and themes, and erasing walked through to the end."""

from __future__ import annotations

import zipfile
from datetime import date

import pytest

from portal.camps.models import Camp
from portal.intake.models import Submission
from portal.people.models import Player, User
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.width import fits
from tests.portal import conftest as people


@pytest.fixture
def player(site, settings, tmp_path) -> Player:
    """Ida, whose mother is Lea, and whose sister is in the camp as well."""
    settings.ERASED_LEDGER = str(tmp_path / "erased.jsonl")
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    people.make_user("owner@example.org", "Oda Verne", is_staff=True, is_superuser=True)
    camp = Camp.objects.create(name="Lindholt fall camp", starts_on=date(2026, 10, 3), ends_on=date(2026, 10, 4))
    camp.coaches.add(coach)
    guardian = people.make_user("lea@example.org", "Lea Sandvall")
    people.make_player(camp, guardian, first_name="Wilma")
    ida = people.make_player(camp, guardian, last_name="Sandvall")
    sent = people.make_submission(ida, camp, "ready")
    people.make_clip(sent)
    return ida


def pages_of(ida: Player) -> list[tuple[str, str, str]]:
    """(who, address, name of the picture)"""
    coach = User.objects.get(email="maren@example.org")
    return [
        ("lea@example.org", "/privacy/", "privacy"),
        ("lea@example.org", "/family/", "privacy-family"),
        ("lea@example.org", f"/players/{ida.pk}/", "privacy-player"),
        ("lea@example.org", f"/players/{ida.pk}/erase/", "privacy-player-erase"),
        ("lea@example.org", "/family/erase/", "privacy-account-erase"),
        ("lea@example.org", f"/players/{ida.pk}/age/", "privacy-age"),
        ("lea@example.org", f"/players/{ida.pk}/guardian/", "privacy-guardian"),
        ("lea@example.org", f"/join/{ida.camps.get().invite_token}/who/", "privacy-consent"),
        ("maren@example.org", f"/camps/{ida.camps.get().pk}/edit/", "privacy-camp-form"),
        ("maren@example.org", f"/camps/{ida.camps.get().pk}/", "privacy-camp"),
        ("owner@example.org", "/owner/privacy/", "privacy-owner"),
        ("owner@example.org", f"/owner/accounts/{coach.pk}/erase/", "privacy-coach-erase"),
    ]


@pytest.mark.parametrize(("size", "theme"), [("phone", "light"), ("desktop", "dark")])
def test_every_page_fits_and_is_in_order(size, theme, open_page, sign_in, axe, shot, player):
    page = open_page(**(PHONE if size == "phone" else DESKTOP), color_scheme=theme)
    for who, address, name in pages_of(player):
        sign_in(page, User.objects.get(email=who))
        page.goto(address)
        fits(page)
        scrolls = "one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflowX === 'auto'"
        inside = "[...document.querySelectorAll('main :not(nav > .filter)')]"  # a list that is chosen from is one line on a phone
        assert page.evaluate(f"{inside}.filter((one) => {scrolls}).map((one) => one.outerHTML)") == []
        axe(page)
        shot(page, f"{name}-{size}-{theme}")


def test_a_mother_takes_a_copy_and_has_her_daughter_erased(page_phone, sign_in, player, tmp_path):
    sign_in(page_phone, User.objects.get(email="lea@example.org"))
    page_phone.goto("/family/")
    with page_phone.expect_download() as download:
        page_phone.get_by_role("button", name="Take a copy of everything").click()
    download.value.save_as(tmp_path / "all.zip")
    assert "README.txt" in zipfile.ZipFile(tmp_path / "all.zip").namelist()
    page_phone.get_by_role("link", name="Ida Sandvall").click()
    page_phone.get_by_role("link", name="Erase Ida and all that is kept").click()
    page_phone.get_by_label("Yes, erase all of this for good.").check()
    page_phone.get_by_role("button", name="Erase for good").click()
    page_phone.get_by_text("Erased.").wait_for()
    assert [one.first_name for one in Player.objects.all()] == ["Wilma"]
    assert not Submission.objects.exists()


def test_who_is_erased_leaves_nothing_unsent_in_the_browser(page_phone, sign_in, player):
    """Another coach's work at the same browser stays: it is only theirs to erase."""
    page, lea = page_phone, User.objects.get(email="lea@example.org")
    sign_in(page, lea)
    page.goto("/family/erase/")
    put = """(keys) => keys.forEach((key) => localStorage.setItem(key, JSON.stringify({ at: Date.now(), list: [{}], words: "Hi" })))"""
    own = [f"desk:{lea.pk}:a:b", f"desk:{lea.pk}:a:b:c", f"kept-words:{lea.pk}:/family/:note"]
    page.evaluate(put, [*own, "desk:99:a:b"])
    page.get_by_label("Yes, erase all of this for good.").check()
    page.get_by_role("button", name="Erase for good").click()
    page.wait_for_url("**/erased/")
    page.wait_for_function("(own) => own.every((key) => localStorage.getItem(key) === null)", arg=own)
    assert page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('desk:'))") == ["desk:99:a:b"]
    assert page.evaluate("sessionStorage.getItem('erasing')") is None
    assert not User.objects.filter(pk=lea.pk).exists()
