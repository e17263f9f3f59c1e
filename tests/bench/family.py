"""Makes the family that the benches send clips as: `python -m tests.bench.family`, told where by the environment.

Prints one line of JSON: the cookies, the token against forged requests, and the submission's key.
"""

from __future__ import annotations

import json
import os
from typing import Any

import django

TOKEN = "a" * 32  # against forged requests: cookie and header have to agree, no more


def main() -> dict[str, str]:
    """An invented guardian, signed in, with a submission that waits for its clip."""
    from django.conf import settings

    from portal.camps.models import Camp
    from portal.intake import consent
    from portal.intake.sending import open_submission
    from portal.people.models import Player, User

    user = User.objects.create_user("lea@example.org", "first pitch at noon", name="Lea Sandvall")
    camp = Camp.objects.create(name="Lindholt fall camp", place="Lindholt")
    player = Player.objects.create(first_name="Nilo", birth_year=2012)
    player.guardians.add(user)
    consent.give(player, camp, user, training_too=False)
    cookie = f"{session_of(user)}; {settings.CSRF_COOKIE_NAME}={TOKEN}"
    return {"cookie": cookie, "token": TOKEN, "submission": str(open_submission(player, camp, user).pk)}


def session_of(user: Any) -> str:
    """The cookie of somebody who has signed in."""
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(user, backend=settings.AUTHENTICATION_BACKENDS[0])
    return f"{settings.SESSION_COOKIE_NAME}={client.cookies[settings.SESSION_COOKIE_NAME].value}"


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    django.setup()
    print(json.dumps(main()))
