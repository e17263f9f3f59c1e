"""How many invitations an account may send in a day, with or without Redis."""

from datetime import date, timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from portal.people import limits
from portal.people.models import InvitationSent
from tests.portal.conftest import make_player


def test_thirty_and_no_more(guardian, other_guardian):
    for _again in range(limits.A_DAY):
        limits.take_invitation(guardian)
    with pytest.raises(limits.TooMany, match="30 invitations"):
        limits.take_invitation(guardian)
    limits.take_invitation(other_guardian)  # each account has its own


def test_a_day_later_it_goes_on(guardian):
    for _again in range(limits.A_DAY):
        limits.take_invitation(guardian)
    InvitationSent.objects.update(at=timezone.now() - timedelta(hours=24, minutes=1))
    limits.take_invitation(guardian)
    assert InvitationSent.objects.count() == 1  # older ones are not kept


def test_a_familys_invitations_count(sign_in, guardian, camp, settings):
    settings.CACHES = {
        "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": "redis://127.0.0.1:1"}
    }
    teen = make_player(camp, guardian, first_name="Kit", birth_year=date.today().year - 14)
    InvitationSent.objects.bulk_create(InvitationSent(by=guardian) for _ in range(limits.A_DAY))
    page = sign_in(guardian).post(reverse("player_invite", args=[teen.pk]), {"email": "kit@example.org"})
    assert "Go on tomorrow" in page.text
    assert mail.outbox == []
