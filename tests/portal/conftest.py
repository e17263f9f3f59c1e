"""Personas and things of the portal's tests.

The people: `owner`; `coach` of `camp` and `other_coach` of `other_camp`; `guardian` of `player`, who has a sign-in of
their own (`player_user`); `other_guardian` of `other_player` in the other camp. Nobody of one camp has anything to do
with the other.
`sign_in(user)` gives a client for a user; `stranger` is a client nobody signed in on.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from allauth.account.models import EmailAddress
from django.conf import settings as active
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import update_last_login
from django.contrib.sessions.backends.db import SessionStore
from django.core.cache import cache
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.utils import timezone

from portal.camps.models import Camp, Enrolment
from portal.desk.models import Review
from portal.evaluations.models import Evaluation
from portal.evaluations.publish import publish
from portal.intake.models import Clip, Consent, Submission
from portal.intake.states import State
from portal.measuring import door
from portal.measuring.models import Measurement, Stage
from portal.outbox import sending
from portal.people.models import Player, User
from tests.portal import material
from tests.ready import lay_tables

TRACKS = Path(__file__).parents[1] / "analysis" / "read" / "data"
PASSWORD = "first pitch at noon"


@pytest.fixture(autouse=True)
def portal_settings(settings: Any, tmp_path: Path) -> None:
    """Files in a folder of the test, no Redis, no manifest of static files, cheap passwords."""
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.SECURE_SSL_REDIRECT = False
    settings.SECOND_FACTOR = False  # tests of the second step switch it on
    cache.clear()


@pytest.fixture(autouse=True)
def post_office(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Emails are sent as soon as their change is committed, by the same code as in the worker, into `mail.outbox`."""
    settings.OUTBOX_FORWARDS_TO = "django.core.mail.backends.locmem.EmailBackend"
    monkeypatch.setattr("portal.outbox.queue.wake", sending.send_waiting)


def make_user(email: str, name: str, **fields: Any) -> User:
    """An account with a confirmed address."""
    user = User.objects.create_user(email, PASSWORD, name=name, **fields)
    EmailAddress.objects.create(user=user, email=email, verified=True, primary=True)
    return user


PEOPLE: dict[str, tuple[str, str, dict[str, Any]]] = {
    "owner": ("owner@example.org", "Oda Verne", {"is_staff": True, "is_superuser": True}),
    "coach": ("maren@example.org", "Maren Oduya", {"is_coach": True}),
    "other_coach": ("tibor@example.org", "Tibor Quist", {"is_coach": True}),
    "guardian": ("lea@example.org", "Lea Sandvall", {}),
    "other_guardian": ("ruben@example.org", "Ruben Achterberg", {}),
    "player_user": ("ida@example.org", "Ida Sandvall", {}),
}


def make_person(role: str) -> User:
    """One of the personas."""
    email, name, fields = PEOPLE[role]
    return make_user(email, name, **fields)


@pytest.fixture
def owner(db: None) -> User:
    return make_person("owner")


@pytest.fixture
def coach(db: None) -> User:
    return make_person("coach")


@pytest.fixture
def other_coach(db: None) -> User:
    return make_person("other_coach")


@pytest.fixture
def guardian(db: None) -> User:
    return make_person("guardian")


@pytest.fixture
def other_guardian(db: None) -> User:
    return make_person("other_guardian")


@pytest.fixture
def player_user(db: None) -> User:
    return make_person("player_user")


def make_camp(coach: User) -> Camp:
    camp = Camp.objects.create(
        name="Lindholt fall camp", place="Lindholt", starts_on=date(2026, 10, 3), ends_on=date(2026, 10, 4)
    )
    camp.coaches.add(coach)
    return camp


@pytest.fixture
def camp(coach: User) -> Camp:
    return make_camp(coach)


def make_other_camp(other_coach: User) -> Camp:
    camp = Camp.objects.create(name="Norrby softball days", turnaround_days=10)
    camp.coaches.add(other_coach)
    return camp


@pytest.fixture
def other_camp(other_coach: User) -> Camp:
    return make_other_camp(other_coach)


def make_player(camp: Camp, guardian: User, **fields: Any) -> Player:
    """A player in a camp whose guardian has agreed."""
    player = Player.objects.create(
        **{"first_name": "Ida", "birth_year": date.today().year - 11, "hits": "right", **fields}
    )
    player.guardians.add(guardian)
    Enrolment.objects.create(camp=camp, player=player)
    Consent.objects.create(player=player, camp=camp, given_by=guardian, wording="2026-1")
    return player


@pytest.fixture
def player(camp: Camp, guardian: User, player_user: User) -> Player:
    return make_player(camp, guardian, last_name="Sandvall", user=player_user)


def make_other_player(other_camp: Camp, other_guardian: User) -> Player:
    return make_player(other_camp, other_guardian, first_name="Joris", sport="softball")


@pytest.fixture
def other_player(other_camp: Camp, other_guardian: User) -> Player:
    return make_other_player(other_camp, other_guardian)


def make_submission(player: Player, camp: Camp, state: str = State.UPLOADING, **fields: Any) -> Submission:
    """A submission set down in `state`, with the dates that go with it."""
    if state != State.UPLOADING:
        fields = {
            "received_at": timezone.now(),
            "promised_by": date.today() + timedelta(days=camp.turnaround_days),
            **fields,
        }
    sent_by = player.guardians.first()
    return Submission.objects.create(**{"player": player, "camp": camp, "sent_by": sent_by, "state": state, **fields})


@pytest.fixture
def submission(player: Player, camp: Camp) -> Callable[..., Submission]:
    """`submission(State.READY, note="…")` of `player` in `camp`."""

    def make(state: str = State.UPLOADING, **fields: Any) -> Submission:
        return make_submission(player, camp, state, **fields)

    return make


def make_clip(submission: Submission, **fields: Any) -> Clip:
    """A clip whose sealed original is in the storage; nothing measured yet."""
    clip = Clip(**{"submission": submission, "name": "IMG_0142.MOV", **fields})
    body = b"\0\0\0\x18ftypmp42" + clip.pk.bytes
    clip.original.save("original", ContentFile(body), save=False)
    clip.size = len(body)
    clip.sha256 = clip.sha256 or material.sha256(body)
    clip.save()
    return clip


def make_measured_clip(submission: Submission, folder: Path) -> Clip:
    """A measured clip: the reading of tests/portal/measured.json and small products from `folder`."""
    clip = make_clip(submission)
    shutil.copytree(folder, default_storage.path(clip.folder), copy_function=shutil.copyfile, dirs_exist_ok=True)
    Measurement.objects.create(
        clip=clip,
        stage=Stage.DONE,
        method=1,
        attempt=1,
        products=clip.folder,
        tracks=f"{clip.folder}/tracks.npz",
        started_at=timezone.now(),
        finished_at=timezone.now(),
        **door.kept({**material.result(), "read_with": {"method": door.METHOD, "book": door.BOOK, "bands": 0}}),
    )
    return clip


def make_swingless_clip(submission: Submission, folder: Path) -> Clip:
    """A measured clip in which nobody swings."""
    clip = make_measured_clip(submission, folder)
    clip.measurement.result["swings"] = []
    clip.measurement.save(update_fields=["result"])
    return clip


@pytest.fixture(scope="session")
def products(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the browser gets of a measured clip, as files: review copy, sample table, stills, poster."""
    folder = tmp_path_factory.mktemp("products")
    material.write_products(folder)
    return folder


@pytest.fixture
def measured_clip(submission: Callable[..., Submission], products: Path) -> Clip:
    """The measured clip of a submission that waits for the coach."""
    return make_measured_clip(submission(State.READY), products)


@pytest.fixture(scope="session")
def first_readings() -> dict[tuple[object, ...], str]:
    """What was read of real tracks, by all that a reading follows from: a quarter of a second each, and always the same."""
    return {}


@pytest.fixture
def put_tracks(first_readings: dict[tuple[object, ...], str]) -> Callable[[Clip, str], Measurement]:
    """`put_tracks(clip, "maple_right_chest")` gives a measured clip a real track, read by today's method."""

    def read(held: Measurement, film: str) -> Any:
        level = door.level_of(held.clip)
        bands = door.own_bands(held.clip.submission.camp_id, level)
        by = (film, str(level), repr(bands), repr(held.corrections), door.METHOD, door.BOOK, door.read_tracks)
        if by not in first_readings:
            first_readings[by] = json.dumps(door.read_again(held, held.corrections))
        return json.loads(first_readings[by])

    def put(clip: Clip, film: str) -> Measurement:
        name = f"{clip.folder}/{film}.npz"
        default_storage.save(name, ContentFile((TRACKS / f"{film}.tracks.npz").read_bytes()))
        held = clip.measurement
        held.tracks = name
        held.result = read(held, film)
        held.save(update_fields=["tracks", "result"])
        return held

    return put


def make_review(measured_clip: Clip, coach: User) -> Review:
    """A draft on the coach's desk."""
    submission = measured_clip.submission
    submission.move(State.IN_REVIEW, reviewer=coach)
    return Review.objects.create(
        submission=submission, clip=measured_clip, greeting="Hi Ida!", good=["You stay tall to the end."],
        thing_checkpoint="down_foot_opening", thing_title="Keep the front foot closed a little longer",
        thing_words="Your hips can then turn all at once.", closing="See you in spring.",
    )  # fmt: skip


@pytest.fixture
def review(measured_clip: Clip, coach: User) -> Review:
    return make_review(measured_clip, coach)


@pytest.fixture
def evaluation(review: Review, coach: User) -> Evaluation:
    """The published first edition of the draft; its PDF would be made once the transaction holds."""
    return publish(review, coach)


@pytest.fixture
def small_disk(tmp_path: Path, root: Path) -> Iterator[Callable[..., subprocess.CompletedProcess[str]]]:
    """`small_disk(script, *words)` runs a script whose data (SQLite with its tables, media) lie on a file system of 48 MB.

    It is in memory, which takes root to mount; elsewhere the test is skipped.
    """
    place = tmp_path / "disk"
    place.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=48m", "tmpfs", str(place)], capture_output=True)
    if mounted.returncode:
        pytest.skip("a file system can only be mounted by root")
    lay_tables(place)
    left_out = ("DATABASE_URL", "MEDIA_ROOT")
    environment = {name: value for name, value in os.environ.items() if name not in left_out}
    environment |= {"DATA_DIR": str(place), "DISK_RESERVE_MB": "1", "DJANGO_SETTINGS_MODULE": "portal.settings"}

    def run(script: str, *words: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-c", script, *words]
        return subprocess.run(command, cwd=root, env=environment, capture_output=True, text=True)

    yield run
    subprocess.run(["umount", "-l", str(place)], check=True)


@pytest.fixture
def stranger() -> Client:
    return Client()


@pytest.fixture
def sign_in() -> Callable[[User], Client]:
    """A client on which this user is signed in. As Django's `force_login` leaves it, in a third of its statements."""

    def make(user: User) -> Client:
        session = SessionStore()
        session[SESSION_KEY] = str(user.pk)
        session[BACKEND_SESSION_KEY] = "allauth.account.auth_backends.AuthenticationBackend"
        session[HASH_SESSION_KEY] = user.get_session_auth_hash()
        session.save()
        update_last_login(None, user)
        client = Client()
        client.cookies[active.SESSION_COOKIE_NAME] = session.session_key
        return client

    return make
