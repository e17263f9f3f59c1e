"""`kill -9` at random moments, of the web process and of the worker, while films are sent and measured: none is lost, none
is there twice, and every one is measured.

Ten kills; a hundred with CAGENOTE_ALL_KILLS=1.
"""

# ruff: noqa: F401, F811 - a fixture of another module

from __future__ import annotations

import os
import time
from hashlib import sha256
from random import Random
from threading import Event, Thread

import pytest
from django.core.files.storage import default_storage
from django.db import connections

from portal.intake.models import Clip
from portal.intake.states import State
from portal.intake.tus import uploads
from portal.measuring import door, sweeping
from portal.measuring.models import Measurement, Stage
from tests.portal.conftest import make_player, make_submission
from tests.portal.intake.tus.live import WORKER, Family, Nest, Process, Web, film
from tests.portal.measuring.conftest import fake

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
KILLS = 100 if os.environ.get("CAGENOTE_ALL_KILLS") else 10
FAMILIES = 2


class Sender(Thread):
    """A family that sends one film after the other until it is told to stop; what was acknowledged is in `sent`."""

    def __init__(self, family: Family, first_seed: int, over: Event) -> None:
        super().__init__(daemon=True)
        self.family, self.seed, self.over = family, first_seed, over
        self.sent: list[str] = []
        self.trouble: BaseException | None = None

    def run(self) -> None:
        chance = Random(self.seed)
        try:
            while not self.over.is_set():
                self.seed += 1
                body = film(self.seed, chance.randrange(100_000, 6_000_000))
                self.family.send(body, chunk=chance.choice([150_000, 3_000_000]))
                self.sent.append(sha256(body).hexdigest())
                self.over.wait(chance.uniform(0.0, 1.5))
        except BaseException as trouble:
            self.trouble = trouble
        finally:
            connections.close_all()


@pytest.fixture
def environment(process_env, redis_url, fake, settings, tmp_path):
    settings.MEASURE_STALE_S = 2
    return {
        **process_env,
        "MEASURE_STALE_S": "2",
        "ANALYSIS_COMMAND": " ".join(settings.ANALYSIS_COMMAND),
        "CAGENOTE_FAKE": str(fake),
        "DATA_DIR": str(tmp_path / "data"),
        "LOG_LEVEL": "WARNING",
    }


def test_kills_at_random_moments_lose_no_film(environment, guardian, player, camp, tmp_path):
    chance, over = Random(1126), Event()
    nest = Nest(environment)
    web, worker = Web(nest, tmp_path / "web.log"), Process(nest, WORKER, tmp_path / "worker.log")
    senders: list[Sender] = []
    try:
        assert web.answers(), web.log.read_text()
        players = [player, *(make_player(camp, guardian, first_name="Joris") for _ in range(FAMILIES - 1))]
        submissions = [make_submission(one, camp) for one in players]
        senders = [Sender(Family(web, guardian, one), 1000 * n, over) for n, one in enumerate(submissions)]
        for sender in senders:
            sender.start()
        for _ in range(KILLS):
            time.sleep(chance.uniform(0.2, 3.0))
            victim = chance.choice([web, web, worker])
            victim.kill()
            victim.start()
            sweeping.sweep()
            uploads.finish_whole()
        over.set()
        for sender in senders:
            sender.join(120)
        assert [sender.trouble for sender in senders] == [None] * FAMILIES, web.log.read_text()[-2000:]
        measure_all()
    finally:
        over.set()
        web.kill()
        worker.kill()
        nest.close()
    acknowledged = sorted(name for sender in senders for name in sender.sent)
    assert sorted(Clip.objects.values_list("sha256", flat=True)) == acknowledged
    for clip in Clip.objects.select_related("measurement"):
        with clip.original.open("rb") as file:
            assert sha256(file.read()).hexdigest() == clip.sha256
        folders = default_storage.listdir(clip.folder)[0]
        assert [f"{clip.folder}/{name}" for name in folders] == [clip.measurement.products]
    for one in submissions:
        one.refresh_from_db()
        assert one.state == State.READY
    assert len(acknowledged) >= FAMILIES
    print(f"{KILLS} kills, {len(acknowledged)} films, none lost")


def measure_all(seconds: float = 120.0) -> None:
    """Until all is measured. A clip whose worker was shot three times is said to the owner, who lets it be tried anew."""
    end = time.monotonic() + seconds
    while Measurement.objects.exclude(stage=Stage.DONE).exists():
        assert time.monotonic() < end, list(Measurement.objects.values("stage", "attempt", "failure_words"))
        for worn_out in Measurement.objects.filter(stage=Stage.FAILED, failure_code="stopped"):
            door.measure_again(worn_out)
        sweeping.sweep()
        time.sleep(0.5)
