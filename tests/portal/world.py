"""One of everything, around a published evaluation: what tests that visit every address walk through.

It takes a fifth of a second to build, so a file of tests builds it once, in a transaction around all of them, and each test gets a
copy: rows, files and objects are for every test as they were built, whatever the one before did.
"""

from __future__ import annotations

import copy
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as active
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.test import Client, override_settings

from portal.desk.models import MarkUp, Phrase
from portal.drills.models import Drill
from portal.evaluations.models import Question
from portal.evaluations.publish import publish
from portal.intake.states import State
from portal.outbox.models import Email
from portal.owner.models import CoachInvite
from portal.people import guardian_invites, invites
from tests.portal import conftest as make

ROLES = ["stranger", "player_user", "guardian", "other_guardian", "coach", "other_coach", "owner"]


class World:
    """The people by role, and one of each thing that an address may name."""

    def __init__(self, products: Path) -> None:
        self.people = {role: None if role == "stranger" else make.make_person(role) for role in ROLES}
        coach, guardian = self.people["coach"], self.people["guardian"]
        self.camp, self.other_camp = make.make_camp(coach), make.make_other_camp(self.people["other_coach"])
        # so that the other family and coach are somebody's
        self.other_player = make.make_other_player(self.other_camp, self.people["other_guardian"])
        self.player = make.make_player(self.camp, guardian, last_name="Sandvall", user=self.people["player_user"])
        self.clip = make.make_measured_clip(make.make_submission(self.player, self.camp, State.READY), products)
        review = make.make_review(self.clip, coach)
        MarkUp.objects.create(review=review, clip=self.clip, frame=38, instant="contact")
        self.evaluation = publish(review, coach)
        default_storage.save("evaluations/some.pdf", ContentFile(b"%PDF-1.7"))
        self.evaluation.keep_pdf("evaluations/some.pdf")
        self.submission = self.evaluation.submission
        self.drill = Drill.objects.create(
            slug="tee-ladder", title="Tee ladder", in_short="Hit up the ladder.", goal="A line drive."
        )
        self.question = Question.objects.create(evaluation=self.evaluation, asked_by=guardian, words="How often?")
        self.phrase = Phrase.objects.create(coach=coach, text="{He} keep{s} the head still.")
        self.email = Email.objects.create(to="lea@example.org", sender="us", subject="Your code", body="ABC-DEF")
        self.teen = make.make_player(self.camp, guardian, first_name="Kit", birth_year=2010)
        self.joining = invites.token_for(self.teen, "kit@example.org", guardian)
        self.guarding = guardian_invites.token_for(self.teen, "noa@example.org", guardian)
        self.invite = CoachInvite.objects.create(email="ansa@example.org", by=self.people["owner"])
        self._cookies = {role: self._signed_in(role) for role in ROLES}

    def _signed_in(self, role: str) -> dict[str, str]:
        client = Client()
        if (person := self.people[role]) is not None:
            client.force_login(person, backend="allauth.account.auth_backends.AuthenticationBackend")
        return {name: morsel.value for name, morsel in client.cookies.items()}

    def client(self, role: str) -> Client:
        """A browser of its own for each call, on which this role is signed in."""
        client = Client(raise_request_exception=False)
        client.cookies.load(self._cookies[role])
        return client


@pytest.fixture(scope="module")
def built(
    django_db_setup: None, django_db_blocker: Any, products: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[World, Path]]:
    """The world of a file, and the folder of its files; all of it is taken back when the file is done."""
    media = tmp_path_factory.mktemp("world")
    around = transaction.atomic()
    quick = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media, CACHES=quick):
        around.__enter__()
        made = World(products)
    yield made, media
    with django_db_blocker.unblock():
        transaction.set_rollback(True)
        around.__exit__(None, None, None)


@pytest.fixture
def world(built: tuple[World, Path], db: None, portal_settings: None) -> World:
    """The file's world, as good as new."""
    made, media = built
    shutil.copytree(media, active.MEDIA_ROOT)
    return copy.deepcopy(made)
