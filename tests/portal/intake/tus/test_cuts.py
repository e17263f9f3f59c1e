"""Lines cut at random bytes, and a server killed in the middle: in the end every film is here, bit by bit.

A real web process, a raw socket that breaks, and tuspy, the protocol's reference client for Python, that goes on.
"""

from __future__ import annotations

from hashlib import sha256
from random import Random

import pytest

from portal.intake.models import Clip
from tests.portal.conftest import make_submission
from tests.portal.intake.tus.live import Family, Web, film

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
CUTS = 50
KILLS = 10


@pytest.fixture
def web(process_env, redis_url, tmp_path):
    server = Web({**process_env, "DATA_DIR": str(tmp_path / "data"), "LOG_LEVEL": "WARNING"}, tmp_path / "web.log")
    assert server.answers(), server.log.read_text()
    yield server
    server.kill()


@pytest.fixture
def family(web, guardian, player, camp):
    return Family(web, guardian, make_submission(player, camp))


def kept() -> list[str]:
    """The hash of each clip, of its bytes as they lie in the storage."""
    found = []
    for clip in Clip.objects.all():
        with clip.original.open("rb") as file:
            found.append(sha256(file.read()).hexdigest())
    return sorted(found)


def test_a_line_cut_at_any_byte_loses_none(web, family):
    chance = Random(20261126)
    films = [film(seed, chance.randrange(200_000, 1_500_000)) for seed in range(CUTS)]
    went_on = 0
    for body in films:
        url = family.begin(len(body))
        family.cut(url, body, chance.randrange(0, len(body)), reset=chance.random() < 0.5)
        went_on += family.offset(url) > 0
        assert family.send(body, url=url) == url
    assert kept() == sorted(sha256(body).hexdigest() for body in films)
    assert went_on > CUTS / 10, "what came before the cut was kept, where it had come"


def test_a_server_killed_in_the_middle_loses_none(web, family):
    chance = Random(7)
    films = [film(100 + seed, chance.randrange(300_000, 1_500_000)) for seed in range(KILLS)]
    for body in films:
        url = family.begin(len(body))
        family.cut(url, body, chance.randrange(1, len(body)), reset=False, meanwhile=web.kill)
        web.start()
        assert web.answers()
        assert family.send(body, url=url) == url
    assert kept() == sorted(sha256(body).hexdigest() for body in films)
