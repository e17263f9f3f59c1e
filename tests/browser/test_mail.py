"""The pages about emails as people see them: the code page that follows its email, the outbox, an email, the health page."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from portal.outbox import sending
from portal.outbox.models import Email, EmailState
from tests.browser.width import fits
from tests.portal import conftest as people
from tests.portal.outbox.peers import MailServer, running
from tests.servers import free_port

SIZES = [("light", 360), ("dark", 1280)]


@pytest.fixture
def outbox(settings, monkeypatch):
    """As on a real site whose mail server is dead; the test itself is the worker."""
    settings.EMAIL_BACKEND = "portal.outbox.backend.OutboxBackend"
    settings.OUTBOX_FORWARDS_TO = "portal.outbox.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_TIMEOUT = "127.0.0.1", free_port(), 1
    monkeypatch.setattr("portal.outbox.queue.wake", lambda: None)


@pytest.mark.parametrize(("theme", "size"), SIZES)
def test_the_code_page_follows_its_email(open_page, outbox, settings, axe, shot, theme, size):
    people.make_user("lea@example.org", "Lea Sandvall")
    page = open_page(viewport={"width": size, "height": 800}, color_scheme=theme)
    page.goto("/accounts/login/code/")
    page.fill("input[name=email]", "lea@example.org")
    page.click("text=Send the code")
    page.wait_for_selector("text=The email is on its way.")
    sending.send_waiting()
    page.wait_for_selector("text=Our mail server does not answer right now.")
    axe(page)
    fits(page)
    shot(page, f"mail-code-down-{size}-{theme}")
    with running(MailServer()) as server:
        settings.EMAIL_PORT = server.port
        Email.objects.update(next_try_at=timezone.now())
        sending.send_waiting()
    page.wait_for_selector("text=The email has left.")
    axe(page)
    fits(page)
    shot(page, f"mail-code-left-{size}-{theme}")


@pytest.mark.parametrize(("theme", "size"), SIZES)
def test_the_owners_pages_say_how_mail_stands(open_page, sign_in, outbox, axe, shot, theme, size):
    owner = people.make_user("owner@example.org", "Oda Verne", is_staff=True, is_superuser=True)
    now, sender = timezone.now(), "Cagenote <camp@swings.example>"
    common = {"sender": sender, "subject": "The clip has arrived", "body": "Hello,\n\nthe clip has arrived.\n"}
    refused = {"state": EmailState.GIVEN_UP, "attempts": 1, "tried_at": now, "answer": "550 5.1.1 No such user here"}
    Email.objects.create(to="lae@example.org", **common, **refused)
    Email.objects.create(to="lea@example.org", **common, state=EmailState.SENT, attempts=1, sent_at=now)
    waits = Email.objects.create(
        to="ruben@example.org", **common, attempts=2, tried_at=now, next_try_at=now + timedelta(minutes=5), server_down=True,
        answer="mail.swings.example, port 587, said nothing for 15 seconds.",
    )  # fmt: skip
    code = Email.objects.create(
        to="a@example.org", sender=sender, subject="Your code", secret=True, state="sent", body="A"
    )
    page = open_page(viewport={"width": size, "height": 800}, color_scheme=theme)
    sign_in(page, owner)
    for name, url in {
        "outbox": "/owner/outbox/",
        "narrowed": "/owner/outbox/?state=given_up",
        "email": f"/owner/outbox/{waits.pk}/",
        "secret": f"/owner/outbox/{code.pk}/",
        "health": "/owner/health/",
    }.items():
        page.goto(url)
        axe(page)
        fits(page)
        shot(page, f"mail-{name}-{size}-{theme}")
