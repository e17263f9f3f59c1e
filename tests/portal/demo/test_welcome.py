"""What the terminal says once the demo is there, also after somebody has made it their own."""

from datetime import timedelta

import pytest
from django.utils import timezone

from portal.demo.management.commands.demo import _welcome

pytestmark = pytest.mark.django_db


def test_a_renamed_camp_is_still_the_one_to_join(camp):
    camp.name = "Somebody's own name"
    camp.save(update_fields=["name"])
    assert f"Invite link for a new family: http://localhost:8000/join/{camp.invite_token}/" in _welcome()


def test_without_an_open_link_there_is_still_a_welcome(camp):
    camp.invite_ends_at = timezone.now() - timedelta(hours=1)
    camp.save(update_fields=["invite_ends_at"])
    assert "Invite link for a new family: no camp's link is open" in _welcome()
