"""Thousands of odd requests as every role: no error of ours, no word of another family, no change by looking.

`make fuzz` sends 10,000 as each role; a test run sends a few. All are sent, whatever they break, and what broke is told at
the end, one request for each way to break something. Each has a number: `FUZZ_SEED=… FUZZ_ONLY=number` sends it again.
"""

from __future__ import annotations

import logging
import os
import re
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from http.cookies import SimpleCookie
from random import Random
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection, transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from portal.desk.models import Review
from portal.intake.models import Upload
from portal.intake.states import State
from portal.plain_input import plain_line
from tests.portal.conftest import make_measured_clip, make_submission
from tests.portal.fuzzing.asking import Ask, Known, ask
from tests.portal.fuzzing.forms import forms_of
from tests.portal.test_every_url import ADDRESSES, ROWS
from tests.portal.world import ROLES, World

REQUESTS = int(os.environ.get("FUZZ_REQUESTS", "60"))
SEED = int(os.environ.get("FUZZ_SEED") or int.from_bytes(os.urandom(4), "big"))
ONLY = os.environ.get("FUZZ_ONLY")
LONGEST_S = 3.0  # of CPU time for one request: whatever takes longer can hold a site up
OURS, THEIRS = ("Sandvall", "heron-on-the-fence"), ("Achterberg", "otter-in-the-creek")
HIDDEN = {
    "stranger": OURS + THEIRS, "player_user": THEIRS, "guardian": THEIRS, "other_guardian": OURS,
    "coach": THEIRS, "other_coach": OURS, "owner": (),
}  # fmt: skip
# A look is written down; the session notes what was seen; a desk that is opened has a draft, a site its one row.
CHANGES = re.compile(r'(?:INSERT (?:OR \w+ )?INTO|UPDATE|DELETE FROM) "?(\w+)')
NOTED_BY_LOOKING = ("evaluations_accesslogentry", "django_session", "desk_review", "owner_site")

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture
def world(db: None, portal_settings: None, products: Any) -> World:
    """That of the addresses, with a review under way beside it and the same for another family."""
    made = World(products)
    made.submission.note = OURS[1]
    made.submission.save(update_fields=["note"])
    made.desk = make_measured_clip(
        make_submission(made.player, made.camp, State.IN_REVIEW, reviewer=made.people["coach"], note=OURS[1]), products
    )
    made.review = Review.objects.create(submission=made.desk.submission, clip=made.desk)
    made.theirs = make_measured_clip(
        make_submission(
            made.other_player, made.other_camp, State.IN_REVIEW, reviewer=made.people["other_coach"], note=THEIRS[1]
        ),
        products,
    )
    Review.objects.create(submission=made.theirs.submission, clip=made.theirs, greeting=THEIRS[1])
    made.waiting = make_submission(made.player, made.camp)
    made.upload = Upload.objects.create(
        submission=made.waiting, begun_by=made.people["guardian"], name="a.mp4", size=20, expires_at="2099-01-01T00:00Z"
    )
    return made


def things_of(world: World) -> dict[str, list[str]]:
    """Parameters that lead to something of the family, of the other one, or of nobody."""
    uuids = [
        world.player.pk, world.submission.pk, world.clip.pk, world.evaluation.pk, world.desk.pk, world.desk.submission.pk,
        world.theirs.pk, world.theirs.submission.pk, world.theirs.submission.player.pk, world.waiting.pk, world.upload.pk,
        world.teen.pk,
    ]  # fmt: skip
    people = [person.pk for person in world.people.values() if person]
    consents = list(world.player.consents.values_list("pk", flat=True))
    numbers = [world.camp.pk, world.email.pk, *people, *consents, 0, 2**31, 2**63, 10**30]
    names = [world.camp.invite_token, world.joining, world.guarding, "poster.jpg", "stills.json", "picture-1.jpg"]
    slugs = ["tee-ladder", "contact", "preview", "set_up", "nothing"]
    known = {"uuid": [str(one) for one in uuids], "int": [str(one) for one in numbers], "slug": slugs}
    known["str"] = [*names, *known["uuid"], *known["int"], *slugs]
    known["path"] = [*known["int"], *known["uuid"], "_00", "1/2", "_5Fx"]
    known["value"] = [*known["str"], f"{world.desk.pk}:0", *(str(p.email) for p in world.people.values() if p)]
    return known


def samples_of(world: World) -> dict[str, list[Any]]:
    """Bodies that the desk sends."""
    head = {"version": 0, "change": "a"}
    shape = {"kind": "line", "points": [[1, 2], [3, 4]], "tone": "coach", "text": "here"}
    clip = str(world.desk.pk)
    corrections = {
        "view": "chest_side", "hand": "left", "speed_factor": 4, "instants": {"0": {"contact": 38, "load": 5}},
        "keypoints": [{"frame": 3, "keypoint": 4, "x": 5, "y": 6}], "bat": [{"frame": 3, "knob": [1, 1], "barrel": [9, 9]}],
        "plate": [[10, 10], [30, 10], [30, 20], [20, 30], [10, 20]], "remove_swings": [0],
        "add_swings": [{"start_frame": 3, "end_frame": 30}],
    }  # fmt: skip
    draft = {
        "greeting": "Hi",
        "good": ["Tall."],
        "thing_checkpoint": "down_front_knee",
        "thing_title": "t",
        "closing": "c",
    }
    several = [
        {"kind": "draft", "change": "a", **draft},
        {"kind": "rating", "checkpoint": "down_front_knee", "rate": "good"},
    ]
    return {
        "desk_draft": [{**head, **draft}],
        "desk_changes": [{**head, "window": "w", "follows": ["v"], "changes": several}],
        "desk_rating": [{**head, "checkpoint": "down_front_knee", "rate": "good", "words": "w"}],
        "desk_markup": [{**head, "clip": clip, "frame": 3, "shapes": [shape], "caption": "c", "show_skeleton": True}],
        "desk_assignment": [{**head, "drill": "tee-ladder", "set_up": {"ball": "tee", "rounds": 3}, "goal": "g"}],
        "clip_correct": [
            {"version": 0, "corrections": corrections},
            *({"version": 0, "corrections": {name: value}} for name, value in corrections.items()),
        ],
    }


class Line(Client):
    """A client behind the same guard of the line as the real application (portal/wsgi.py)."""

    def __init__(self) -> None:
        super().__init__(raise_request_exception=True)
        inner = self.handler
        guarded = plain_line(lambda environ, _start: inner(environ))
        self.handler = lambda environ: guarded(environ, None)  # type: ignore[assignment]

    def ask(self, one: Ask) -> Any:
        extra: dict[str, Any] = {} if one.length is None else {"CONTENT_LENGTH": one.length}
        headers = {name: value.encode().decode("latin-1") for name, value in one.headers.items()}
        return self.generic(one.method, one.path, one.body, one.kind, headers=headers, **extra)


def looked_only(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
    """Fails where a request that only looks changes a row."""
    if changed := CHANGES.match(sql):
        assert changed[1].startswith(NOTED_BY_LOOKING), f"changed by looking: {sql[:200]}"
    return execute(sql, params, many, context)


@pytest.fixture
def quiet() -> Iterator[None]:
    """No line for each of thousands of refusals."""
    logging.disable(logging.CRITICAL)
    yield
    logging.disable(logging.NOTSET)


@pytest.fixture
def tracks(world: World, tmp_path: Any) -> None:
    """A second in which nobody was seen, for the clips at the desks: corrections are really read."""
    from django.core.files.storage import default_storage

    from portal.measuring import door
    from tests.portal.measuring.conftest import empty_tracks

    empty_tracks().save(tmp_path / "tracks.npz")
    for clip in (world.desk, world.theirs, world.clip):
        with (tmp_path / "tracks.npz").open("rb") as file:
            default_storage.save(f"{clip.folder}/tracks.npz", file)
    door.load_tracks.cache_clear()


def addresses_of(world: World) -> Iterator[str]:
    """Every page that holds something of the world, and the owner's tables with the first row of each."""
    for name, row in ROWS.items():
        if row.method == "get":
            yield reverse(name, args=[one(world) if callable(one) else one for one in row.args])
    yield reverse("camp_edit", args=[world.camp.pk])
    yield reverse("desk", args=[world.desk.submission.pk])
    for name in ADDRESSES:
        if name.startswith("admin:") and name.endswith(("_add", "_changelist")):
            yield reverse(name)
    for model in (type(world.player), type(world.camp), type(world.submission), type(world.clip), type(world.email)):
        with suppress(NoReverseMatch):
            yield reverse(f"admin:{model._meta.label_lower.replace('.', '_')}_change", args=[model.objects.all()[0].pk])


class Watched:
    """Sends requests as one role, each undone again, and keeps what was wrong: one for each way."""

    def __init__(self, role: str, client: Line) -> None:
        self.role, self.client = role, client
        self.cookies = client.cookies.output(header="", sep=";")
        self.counts: Counter[int] = Counter()
        self.faults: dict[str, str] = {}
        self.slowest = (0.0, "")

    def send(self, number: int, one: Ask) -> None:
        self.client.cookies = SimpleCookie(self.cookies)
        cache.clear()
        begun = time.process_time()
        try:
            fault = self._fault(one)
        except Exception as error:
            last = traceback.extract_tb(error.__traceback__)[-1]
            place = next(
                (f for f in reversed(traceback.extract_tb(error.__traceback__)) if "/portal/" in f.filename), last
            )
            fault = f"{type(error).__name__} at {place.filename}:{place.lineno}: {str(error)[:200]}"
            self.counts[500] += 1
            key = f"{type(error).__name__} {place.filename}:{place.lineno} {last.filename}:{last.lineno}"
        else:
            key = f"{fault} {one.name}"
        took = time.process_time() - begun
        self.slowest = max(self.slowest, (took, f"{number}: {one.method} {one.path[:100]}"))
        if took > LONGEST_S and not fault:
            fault = key = f"{one.name} took {took:.1f} s"
        if fault:
            self.faults.setdefault(key, f"FUZZ_ONLY={number}: {fault}\n    {str(one)[:1500]}")

    def _fault(self, one: Ask) -> str:
        with transaction.atomic():
            if one.method in ("GET", "HEAD", "OPTIONS", "TRACE"):
                with connection.execute_wrapper(looked_only):
                    answer = self.client.ask(one)
            else:
                answer = self.client.ask(one)
            said = b"".join(answer.streaming_content) if answer.streaming else answer.content
            transaction.set_rollback(True)
        self.counts[answer.status_code] += 1
        if answer.status_code >= 500 and one.name != "health":
            return f"answered {answer.status_code}"
        if answer.status_code == 403 and not one.path.startswith("/admin/"):
            return "answered 403: what somebody may not see is 404"
        told = said.decode("utf-8", "replace")
        return " and ".join(f"told {word}" for word in HIDDEN[self.role] if word in told)


@pytest.mark.parametrize("role", ROLES)
def test_odd_requests_break_nothing_and_tell_nothing(role: str, world: World, tracks: None, quiet: None) -> None:
    client = Line()
    if (person := world.people[role]) is not None:
        client.force_login(person, backend="allauth.account.auth_backends.AuthenticationBackend")
        session = client.session  # as after a sign-in a moment ago: what asks for the password once more opens
        session["account_authentication_methods"] = [{"method": "password", "at": time.time() + 86400}]
        session.save()
    known = Known(things_of(world), samples_of(world), forms_of(client, addresses_of(world)))
    watched = Watched(role, client)
    print(f"FUZZ_SEED={SEED} as {role}, {len(known.forms)} forms")
    for number in [int(ONLY)] if ONLY else range(REQUESTS):
        watched.send(number, ask(Random(f"{SEED} {role} {number}"), known))
    print(
        f"{role}: {watched.counts.total()} requests, {dict(sorted(watched.counts.items()))}, slowest {watched.slowest}"
    )
    assert not watched.faults, "\n".join(["", *watched.faults.values()])
