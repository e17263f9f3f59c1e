"""Every address of the portal as every role. An address without a row fails, and so does a row without an address.

A row gives the expected status for, in this order:

    stranger, player, parent, other family, coach, other coach, owner

Add a row for every new address, with `post(...)` where it takes no GET. What somebody may not see is 404; a page that
needs a sign-in sends strangers there (302). Statuses above 499 are never right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import pytest
from django.db import transaction
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from portal.owner import coach_invites
from tests.portal import world as worlds
from tests.portal.world import ROLES, World

pytestmark = pytest.mark.slow  # every address of the site as every role

built, world = worlds.built, worlds.world  # fixtures


@dataclass(frozen=True)
class Row:
    """The statuses of one address; `args` are names of the world's things, `data` what is posted."""

    statuses: list[int]
    args: tuple[Any, ...] = ()
    method: str = "get"
    data: dict[str, Any] = field(default_factory=dict)


def get(statuses: str, *args: Any) -> Row:
    return Row([int(word) for word in statuses.split()], args)


def post(statuses: str, *args: Any, method: str = "post", **data: Any) -> Row:
    return Row([int(word) for word in statuses.split()], args, method, data)


def pk(name: str) -> Callable[[World], UUID | int]:
    return lambda world: getattr(world, name).pk


EVERYBODY = "200 200 200 200 200 200 200"
ENTRANCE = "200 302 302 302 302 302 302"  # who is signed in goes on to their own page
ELSEWHERE = "302 302 302 302 302 302 302"  # nothing is under way there just now
NOWHERE = "404 404 404 404 404 404 404"
SIGNED_IN = "302 200 200 200 200 200 200"
FAMILY = "302 200 200 404 404 404 404"
SPEAKS = "302 404 200 404 404 404 404"
AROUND = "302 200 200 404 200 404 200"
COACHES = "302 404 404 404 200 200 200"
CAMPS_COACH = "302 404 404 404 200 404 200"
KEEPS = "302 404 404 404 404 404 200"
OWNER = "404 404 404 404 404 404 200"

ROWS: dict[str, Row] = {
    # signing in (pages of django-allauth, dressed by us)
    "account_change_password": get(SIGNED_IN),
    "account_confirm_login_code": get(ELSEWHERE),
    "account_email": get(NOWHERE),  # switched off
    "account_email_verification_sent": get(ELSEWHERE),
    "account_inactive": get(EVERYBODY),
    "account_login": get(ENTRANCE),
    "account_logout": get(SIGNED_IN),
    "account_reauthenticate": get(SIGNED_IN),
    "account_request_login_code": get(ENTRANCE),
    "account_reset_password": get(EVERYBODY),
    "account_reset_password_done": get(EVERYBODY),
    "account_reset_password_from_key": get(EVERYBODY, "1", "abc"),
    "account_reset_password_from_key_done": get(EVERYBODY),
    "account_set_password": get(ELSEWHERE),
    "account_signup": get(ENTRANCE),
    # the second step at sign-in (likewise). Nobody has one here, and what changes an account asks for the password first
    "mfa_index": get(SIGNED_IN),
    "mfa_authenticate": get(ELSEWHERE),
    "mfa_reauthenticate": get(ELSEWHERE),
    "mfa_activate_totp": get(ELSEWHERE),
    "mfa_deactivate_totp": get("302 404 404 404 404 404 404"),
    "mfa_list_webauthn": get(SIGNED_IN),
    "mfa_add_webauthn": get(ELSEWHERE),
    "mfa_reauthenticate_webauthn": get(ELSEWHERE),
    "mfa_edit_webauthn": get(ELSEWHERE, 1),
    "mfa_remove_webauthn": get(ELSEWHERE, 1),
    "mfa_view_recovery_codes": get("302 404 404 404 404 404 404"),
    "mfa_download_recovery_codes": get("302 404 404 404 404 404 404"),
    "mfa_generate_recovery_codes": get(ELSEWHERE),
    # people
    "awaited_email": get("204 204 204 204 204 204 204"),  # nobody waits for one here
    "home": get("200 302 302 302 302 302 302"),
    "family": get(SIGNED_IN),
    "name": get(SIGNED_IN),
    "player": get(AROUND, pk("player")),
    "player_edit": get(FAMILY, pk("player")),
    "player_invite": get(SPEAKS, pk("player")),
    "player_age": get("302 404 200 404 200 404 200", pk("player")),
    "guardian_invite": get("302 404 200 404 404 404 200", pk("player")),
    "join_guardian": get(EVERYBODY, lambda world: world.guarding),
    "join_player": get(EVERYBODY, lambda world: world.joining),
    # camps
    "camps": get(COACHES),
    "camp_new": get(COACHES),
    "camp": get(CAMPS_COACH, pk("camp")),
    "camp_edit": get(CAMPS_COACH, pk("camp")),
    "camp_bands": get(CAMPS_COACH, pk("camp")),
    "camp_bands_level": get(CAMPS_COACH, pk("camp"), "youth"),
    "camp_invite": post("302 404 404 404 302 404 302", pk("camp"), do="renew"),
    # intake
    "filming": get(EVERYBODY),
    "join": get(EVERYBODY, lambda world: world.camp.invite_token),
    "join_who": get(SIGNED_IN, lambda world: world.camp.invite_token),
    "submission_new": get(FAMILY, pk("player"), pk("camp")),
    "submission": get(AROUND, pk("submission")),
    "submission_progress": get(AROUND, pk("submission")),
    "submission_note": post("302 302 302 404 404 404 404", pk("submission"), note="A word."),
    "submission_clip": get(FAMILY, pk("submission")),
    "clip_upload": post("404 409 409 404 404 404 404", pk("submission")),
    # by the protocol a request without its version is refused whoever asks; who may is in tests/portal/intake/tus
    "upload_new": post("412 412 412 412 412 412 412", pk("submission")),
    "upload": post("412 412 412 412 412 412 412", pk("submission"), method="head"),
    "submission_withdraw": get(SPEAKS, pk("submission")),
    "consent_take_back": get("302 404 200 404 404 404 200", lambda world: world.player.consents.get().pk),
    # measuring
    "clip_file": get("404 200 200 404 200 404 200", pk("clip"), "poster.jpg"),
    "clip_result": get("404 404 404 404 200 404 200", pk("clip")),
    "clip_correct": post("404 404 404 404 400 404 400", pk("clip")),
    # desk
    "queue": get(COACHES),
    "queue_hand_over": post("302 404 404 404 302 302 302"),
    "phrases": get(COACHES),
    "phrases_list": get(COACHES),
    "phrase": get("302 404 404 404 200 404 404", pk("phrase")),
    "phrase_delete": post("302 404 404 404 302 404 404", pk("phrase")),
    "desk": get(CAMPS_COACH, pk("submission")),
    "desk_cards": get(CAMPS_COACH, pk("submission")),
    "desk_compare": get(CAMPS_COACH, pk("submission")),
    "desk_wanted": get(CAMPS_COACH, pk("submission")),
    "desk_preview": get(CAMPS_COACH, pk("submission")),
    "desk_claim": post("302 404 404 404 302 404 302", pk("submission")),
    "desk_hand_over": post("302 404 404 404 302 404 302", pk("submission")),
    "desk_release": post("302 404 404 404 302 404 302", pk("submission")),
    "desk_swing": post(
        "302 404 404 404 302 404 302", pk("submission"), choice=lambda world: f"{world.clip.pk}:0", stop="contact"
    ),
    "desk_reread_seen": post("302 404 404 404 302 404 302", pk("submission"), stamp="", stop="load"),
    "desk_draft": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_changes": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_counting": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_rating": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_markup": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_assignment": post("401 404 404 404 400 404 400", pk("submission")),
    "desk_publish": post("302 404 404 404 302 404 302", pk("submission")),
    "desk_film_again": get(CAMPS_COACH, pk("submission")),
    "clip_skeleton": get("302 404 404 404 400 404 400", pk("clip")),
    "clip_still": get("302 404 404 404 200 404 200", pk("clip"), 0),
    # drills
    "drills": get(COACHES),
    "drill": get(COACHES, lambda world: world.drill.slug),
    "add_drill": get(COACHES),
    "edit_drill": get("302 404 404 404 404 404 200", lambda world: world.drill.slug),
    # evaluations
    "evaluation": get(AROUND, pk("evaluation")),
    "evaluation_pdf_again": post("302 404 404 404 404 404 302", pk("evaluation")),
    "evaluation_pdf": get(AROUND, pk("evaluation")),
    "evaluation_picture": get(AROUND, pk("evaluation"), "picture-1.jpg"),
    "evaluation_practice": post("302 302 302 404 404 404 404", pk("evaluation")),
    "evaluation_ask": post("302 302 302 404 404 404 404", pk("evaluation"), words="How high is the tee?"),
    "evaluation_answer": post("302 404 404 404 302 404 302", pk("evaluation"), pk("question"), words="Belt high."),
    # look
    "look": get("404 404 404 404 200 200 200"),
    # health
    # nobody works in the unit tests, and that is what it says
    "health": get("503 503 503 503 503 503 503"),
    "health_page": get(OWNER),
    "measure_again": post("302 404 404 404 404 404 302", pk("clip")),
    # owner
    "owner_home": get(KEEPS),
    "first_start": get(KEEPS),
    "first_start_link": get("410 410 410 410 410 410 410", "used-up"),
    "site": get(KEEPS),
    "test_mail": post("302 404 404 404 404 404 302"),
    "people": get(KEEPS),
    "person": get(KEEPS, lambda world: world.people["coach"].pk),
    "person_change": post("302 404 404 404 404 404 302", lambda world: world.people["coach"].pk, do="off"),
    "coach_invite_revoke": post("302 404 404 404 404 404 302", pk("invite")),
    "camp_coaches": get(KEEPS, pk("camp")),
    "join_coach": get(EVERYBODY, lambda world: coach_invites.token_for(world.invite)),
    # privacy
    "player_erase": get("302 404 200 404 404 404 200", pk("player")),
    "account_erase": get(SIGNED_IN),
    "take_everything": post("302 200 200 200 200 200 200"),
    "person_erase": get("302 404 404 404 404 404 200", lambda world: world.people["guardian"].pk),
    "erased": get(EVERYBODY),
    "privacy": get(EVERYBODY),
    "owner_privacy": get("302 404 404 404 404 404 200"),
    # outbox
    "outbox": get(OWNER),
    "email": get(OWNER, pk("email")),
    "email_again": post("302 404 404 404 404 404 302", pk("email")),
    "email_give_up": post("302 404 404 404 404 404 302", pk("email")),
}


def walk(resolver: URLResolver | None = None, prefix: str = "") -> Iterator[tuple[str, str]]:
    """(name, route) of every address; names with their namespace."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLPattern):
            yield f"{prefix}{pattern.name or pattern.pattern}", str(pattern.pattern)
        else:
            inner = f"{prefix}{pattern.namespace}:" if pattern.namespace else prefix
            yield from walk(pattern, inner)


ADDRESSES = sorted({name for name, _ in walk()})
OURS = [name for name in ADDRESSES if not name.startswith("admin:")]


def statuses_of(name: str, row: Row, world: World) -> list[int]:
    """What each role gets. Whatever a visit changes is undone before the next role comes."""
    args = [arg(world) if callable(arg) else arg for arg in row.args]
    url = reverse(name, args=args)
    found = []
    for role in ROLES:
        with transaction.atomic():
            client = world.client(role)
            data = {name: value(world) if callable(value) else value for name, value in row.data.items()}
            found.append(getattr(client, row.method)(url, data).status_code)
            transaction.set_rollback(True)
    return found


@pytest.mark.parametrize("name", sorted(set(OURS) | set(ROWS)))
def test_every_address_as_every_role(name, world):
    assert name in ROWS, f"{name} has no row here: say who may see it"
    assert name in OURS, f"{name} is no address any more: take its row out"
    found = dict(zip(ROLES, statuses_of(name, ROWS[name], world), strict=True))
    assert found == dict(zip(ROLES, ROWS[name].statuses, strict=True))


@pytest.mark.parametrize("role", ROLES)
def test_the_owners_tables_open_for_the_owner_alone(role, world):
    """Django's admin by rule instead of rows: lists, forms and all else that it makes for each table."""
    client = world.client(role)
    for name in (name for name in ADDRESSES if name.startswith("admin:")):
        status = client.get(_admin_url(name)).status_code
        allowed = {200, 302, 403, 404, 405} if role == "owner" else {302, 403, 404, 405}
        assert status in allowed, (name, status)
    index = client.get(reverse("admin:index"))
    assert index.status_code == (200 if role == "owner" else 302)


def _admin_url(name: str) -> str:
    """An address of the admin with something in the place of each argument."""
    for args in ([], ["1"], [1, "1"], ["auth"]):
        try:
            return reverse(name, args=args)
        except Exception:
            continue
    return "/admin/"
