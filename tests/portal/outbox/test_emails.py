"""Every email of templates/mail ends with the name that the owner gave the site."""

from pathlib import Path

import pytest
from django.conf import settings as site_settings
from django.template.loader import render_to_string

from portal.outbox import emails
from portal.outbox.models import Email
from portal.owner.models import Site

EMAILS = sorted(path.stem for path in (Path(site_settings.BASE_DIR) / "templates" / "mail").glob("*.txt"))


@pytest.mark.parametrize("name", EMAILS)
def test_an_email_ends_with_the_sites_name(name):
    assert (
        render_to_string(f"mail/{name}.txt", {"site_name": "Lindholt swings"}).strip().endswith("\n\nLindholt swings")
    )


@pytest.mark.parametrize("name", EMAILS)
def test_an_email_holds_words_and_no_tags(name):
    body = render_to_string(f"mail/{name}.txt", {})
    assert "{%" not in body
    assert "{{" not in body


@pytest.mark.django_db
def test_send_knows_the_name():
    Site.objects.filter(pk=Site.get().pk).update(name="Lindholt swings")
    emails.send("erased", ["nele@example.org"])
    assert Email.objects.get().body.endswith("\n\nLindholt swings\n")
