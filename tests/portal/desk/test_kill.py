"""Killed at any moment of saving and publishing: what was said to hold holds, and no edition is without its pictures.

`KILLS=100` kills a hundred times; a test run a few.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from portal.camps.models import Camp
from portal.desk.models import MarkUp, Review
from portal.evaluations.models import Evaluation
from portal.intake.erase import erase_leftovers
from portal.intake.states import State
from portal.outbox.models import Email
from tests.portal.conftest import make_measured_clip, make_player, make_submission, make_user

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
KILLS = int(os.environ.get("KILLS", "8"))
MOST_LINES, LONGEST_S = 3, 0.6
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def reviews(products: Path) -> list[Review]:
    """Three drafts on one desk, each with two marked-up frames."""
    coach = make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp")
    camp.coaches.add(coach)
    made = []
    for name in ("Ida", "Joris", "Kit"):
        player = make_player(camp, make_user(f"{name.lower()}@example.org", f"{name}’s parent"), first_name=name)
        clip = make_measured_clip(make_submission(player, camp, State.IN_REVIEW, reviewer=coach), products)
        review = Review.objects.create(
            submission=clip.submission, clip=clip, good=["Tall."], thing_title="Foot", thing_words="So."
        )
        for frame in (12, 38):
            MarkUp.objects.create(review=review, clip=clip, frame=frame)
        made.append(review)
    return made


@pytest.fixture
def worker(reviews: list[Review], process_env: dict[str, str], redis_url: str) -> Iterator[subprocess.Popen[str]]:
    env = {**process_env, "LOG_LEVEL": "CRITICAL", "DJANGO_SETTINGS_MODULE": "portal.settings"}
    command = [sys.executable, "-m", "tests.portal.desk.killed", *(str(review.pk) for review in reviews)]
    with subprocess.Popen(
        command, cwd=ROOT, env=env, text=True, bufsize=1, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        yield process
        process.kill()


def said_until_killed(worker: subprocess.Popen[str], chance: random.Random) -> list[list[str]]:
    """Let one work, kill it a moment after it has said so many things, and give what it said."""
    assert worker.stdin is not None
    assert worker.stdout is not None
    worker.stdin.write("go\n")
    worker.stdin.flush()
    lines: list[list[str]] = []
    most = chance.randint(0, MOST_LINES)
    while not any(line[0] == "pid" for line in lines) or len(lines) <= most:
        lines.append(worker.stdout.readline().split())
    time.sleep(chance.uniform(0, LONGEST_S))
    os.kill(next(int(pid) for word, pid, *_ in lines if word == "pid"), signal.SIGKILL)
    while lines[-1] != ["ended"]:
        lines.append(worker.stdout.readline().split())
    return lines


def assert_all_of_it_holds(said: list[list[str]]) -> None:
    for word, *about in said:
        if word == "draft":
            held = Review.objects.get(pk=about[0])
            assert held.version >= int(about[1])
            assert held.version > int(about[1]) or held.closing == about[2]
        if word == "edition":
            assert Evaluation.objects.get(pk=about[0]).edition == int(about[1])


def assert_every_edition_is_whole() -> None:
    numbers: dict[object, list[int]] = {}
    for made in Evaluation.objects.all():
        numbers.setdefault(made.submission_id, []).append(made.edition)
        for picture in made.snapshot["pictures"]:
            with default_storage.open(f"{made.folder}/{picture['file']}") as file:
                assert file.read()[-2:] == b"\xff\xd9"  # a JPEG's end
    for found in numbers.values():
        assert sorted(found) == list(range(1, len(found) + 1))
    assert Email.objects.count() == Evaluation.objects.count()  # one address each


def test_what_was_said_to_hold_holds_after_a_kill(worker, reviews):
    chance = random.Random(KILLS)
    said: list[list[str]] = []
    for _ in range(KILLS):
        said += said_until_killed(worker, chance)
        assert_all_of_it_holds(said)
    assert_every_edition_is_whole()
    counted = {word: sum(line[0] == word for line in said) for word in ("draft", "edition", "ended")}
    print(f"{KILLS} kills: {counted}, {Evaluation.objects.count()} editions")
    assert counted["ended"] == KILLS
    assert counted["edition"] > 0
    erase_leftovers(timezone.now() + timedelta(days=2))
    assert set(default_storage.listdir("evaluations")[0]) == {str(made.pk) for made in Evaluation.objects.all()}
