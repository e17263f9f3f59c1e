"""A disk that is full while a coach works: kind words, nothing lost, nothing half done, and all goes on once there is room."""

from __future__ import annotations

import errno
import json
import sqlite3

import pytest
from django.db import OperationalError
from django.test import Client
from django.urls import reverse

from portal.desk import claims, drafts
from portal.full_disk import comes_of_it
from portal.health.models import Notice
from portal.outbox.models import Email
from portal.people.sessions import SessionMiddleware

SCRIPT = """
import json, os, django
from django.conf import settings
settings.STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
settings.SECOND_FACTOR = False
django.setup()
from django.db import connection
from django.test import Client
from django.urls import reverse
from pathlib import Path

from portal.camps.models import Camp
from portal.desk.models import Review
from portal.drills.models import Drill
from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
from tests.portal.conftest import make_measured_clip, make_player, make_submission, make_user
from tests.portal.material import write_products
from tests.portal.measuring.conftest import empty_tracks

data = Path(os.environ["DATA_DIR"])
products = data / "products"
products.mkdir()
write_products(products)
empty_tracks().save(products / "tracks.npz")
make_user("owner@example.org", "Oda Verne", is_staff=True, is_superuser=True)
coach = make_user("maren@example.org", "Maren Oduya", is_coach=True)
camp = Camp.objects.create(name="Lindholt fall camp")
camp.coaches.add(coach)
ida = make_player(camp, make_user("lea@example.org", "Lea Sandvall"), last_name="Sandvall")
clip = make_measured_clip(make_submission(ida, camp, "in_review", reviewer=coach), products)
review = Review.objects.create(
    submission=clip.submission, clip=clip, good=["Tall."], thing_title="Foot", thing_words="Closed.",
)
Drill.objects.create(slug="chalk", title="Chalk", in_short="A line.", goal="Five.")
client = Client(SERVER_NAME="localhost", raise_request_exception=False)
client.force_login(coach, backend="allauth.account.auth_backends.AuthenticationBackend")
desk = reverse("desk", args=[clip.submission.pk])
assert client.get(desk).status_code == 200

def standing():
    review.refresh_from_db()
    clip.measurement.refresh_from_db()
    return [
        review.version, review.greeting, review.ratings.count(), review.markups.count(), review.assignments.count(),
        clip.measurement.corrections, Submission.objects.get().state, Evaluation.objects.count(),
        sorted(str(p) for p in data.joinpath("media", "evaluations").rglob("*") if p.is_file()),
    ]

def put(name, body):
    version = Review.objects.get().version
    body = {"version": version, "change": name, **body}
    answer = client.post(f"{desk}{name}/", json.dumps(body), content_type="application/json")
    said = answer.json() if "json" in answer["Content-Type"] else answer.content.decode()[:300]
    return [answer.status_code, said.get("words", "") if isinstance(said, dict) else said]

words = "w" * 1500
def change():
    shape = {"kind": "line", "points": [[n, 2] for n in range(2)], "tone": "coach", "text": words[:60]}
    found = {
        "draft": put("draft", {"greeting": words}),
        "rating": put("rating", {"checkpoint": "down_front_knee", "rate": "good", "words": words[:300]}),
        "markup": put("markup", {"clip": str(clip.pk), "frame": 12, "shapes": [shape], "caption": words[:80],
                                  "instant": "load", "in_evaluation": True}),
        "assignment": put("assignment", {"drill": "chalk", "set_up": {"rounds": 3}, "goal": "g", "words": words[:200]}),
    }
    version = clip.measurement.corrections_version
    answer = client.post(f"/clips/{clip.pk}/corrections", json.dumps({"version": version, "corrections": {"hand": "left"}}),
                         content_type="application/json")
    found["correction"] = [answer.status_code, answer.json().get("words", "")]
    return found

def publish():
    answer = client.post(f"{desk}publish/", {"version": Review.objects.get().version}, follow=True)
    return [answer.status_code, [str(m) for m in (answer.context or {}).get("messages", [])], answer.content.decode()]

def fill():
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with data.joinpath("filling").open("wb", buffering=0) as filling:
        size = 1 << 20
        while size:
            try:
                filling.write(b"x" * size)
            except OSError:
                size //= 2

told = {}
before = standing()
fill()
told["full"] = change()
told["same"] = standing() == before
data.joinpath("filling").unlink()
told["room"] = change()
told["kept"] = standing()[:5]
before = standing()
fill()
told["publish_full"] = publish()
told["publish_same"] = standing() == before
data.joinpath("filling").unlink()
told["publish_room"] = publish()
told["published"] = standing()[6:]
print("TOLD" + json.dumps(told))
"""


@pytest.mark.slow
def test_a_coach_loses_nothing_on_a_disk_that_is_really_full(small_disk):
    run = small_disk(SCRIPT)
    assert "TOLD" in run.stdout, run.stdout[-3000:] + run.stderr[-3000:]
    told = json.loads(run.stdout.split("TOLD")[1])
    for name, (status, words) in told["full"].items():
        assert (name, status) == (name, 507)
        assert words.startswith("Not saved yet: our disk is full. Nothing is lost"), name
    assert told["same"]
    assert {status for status, _ in told["room"].values()} == {200}, told["room"]
    assert told["kept"][2:5] == [1, 1, 1]
    status, messages, page = told["publish_full"]
    assert "disk is full" in " ".join(messages) + page
    assert status in (200, 507)
    assert told["publish_same"]
    assert told["publish_room"][0] == 200
    assert told["published"][0] == "published"
    assert told["published"][1] == 1
    assert len(told["published"][2]) >= 1


def sqlite_full() -> OperationalError:
    """As Django hands on what SQLite says."""
    inner = sqlite3.OperationalError("database or disk is full")
    inner.sqlite_errorcode = sqlite3.SQLITE_FULL
    error = OperationalError(str(inner))
    error.__cause__ = inner
    return error


def fail(*_args, **_kwargs):
    raise sqlite_full()


def test_an_error_for_want_of_room_is_known_through_what_was_raised_for_it():
    outer = RuntimeError("could not be noted")
    outer.__cause__ = sqlite_full()
    assert comes_of_it(outer)
    assert comes_of_it(OSError(errno.EDQUOT, "Disk quota exceeded"))
    assert not comes_of_it(OperationalError("database is locked"))


@pytest.mark.django_db
class TestWords:
    @pytest.fixture
    def desk(self, sign_in, coach):
        return sign_in(coach)

    def test_a_change_of_the_draft_gets_words_for_the_page(self, desk, review, monkeypatch):
        monkeypatch.setattr(drafts, "change", fail)
        url = reverse("desk_draft", args=[review.submission_id])
        body = {"version": 0, "change": "a", "greeting": "Hi"}
        answer = desk.post(url, body, content_type="application/json")
        assert (answer.status_code, answer.json()["code"]) == (507, "disk_full")
        assert "leave this page open and tell the owner" in answer.json()["words"]

    def test_any_other_page_gets_a_page(self, desk, review, monkeypatch):
        monkeypatch.setattr(claims, "release", fail)
        answer = desk.post(reverse("desk_release", args=[review.submission_id]))
        assert answer.status_code == 507
        assert "Our disk is full" in answer.content.decode()

    def test_a_session_that_cannot_be_kept_is_said_as_well(self, monkeypatch):
        """It is written after the view, where no view can meet the error."""
        monkeypatch.setattr(SessionMiddleware, "process_response", fail)
        answer = Client(raise_request_exception=False).get(reverse("privacy"))
        assert answer.status_code == 507
        assert "Our disk is full" in answer.content.decode()

    def test_the_owner_is_told_by_email(self, desk, review, owner, monkeypatch):
        monkeypatch.setattr(drafts, "change", fail)
        url = reverse("desk_draft", args=[review.submission_id])
        for _ in range(2):
            desk.post(url, {"version": 0, "change": "a", "greeting": "Hi"}, content_type="application/json")
        assert Notice.objects.get().what == "disk_full"
        assert Email.objects.get(to=owner.email).subject == "The disk is full: clips wait or are refused"
