"""Lines cut at random bytes, and a server killed in the middle: in the end every film is here, bit by bit.

A real web process, a raw socket that breaks, and tuspy, the protocol's reference client for Python, that goes on.
Twenty cuts and four kills; fifty and ten with CAGENOTE_ALL_KILLS=1.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from hashlib import sha256
from random import Random

import pytest

from portal.intake.models import Clip
from tests.portal.conftest import make_submission
from tests.portal.intake.tus.live import Family, Nest, Web, film

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
CUTS, KILLS = (50, 10) if os.environ.get("CAGENOTE_ALL_KILLS") else (20, 4)


@pytest.fixture
def web(process_env, redis_url, tmp_path):
    nest = Nest({**process_env, "DATA_DIR": str(tmp_path / "data"), "LOG_LEVEL": "WARNING"})
    server = Web(nest, tmp_path / "web.log")
    assert server.answers(), server.log.read_text()
    yield server
    server.kill()
    nest.close()


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
    films = [film(seed, chance.randrange(200_000, 5_000_000)) for seed in range(CUTS)]
    went_on = 0
    for body in films:
        url = family.begin(len(body))
        family.cut(url, body, chance.randrange(0, len(body)), reset=chance.random() < 0.5)
        went_on += family.offset(url) > 0
        assert family.send(body, url=url, chunk=3_000_000) == url
    assert kept() == sorted(sha256(body).hexdigest() for body in films)
    assert went_on > CUTS / 10, "what came before the cut was kept, where it had come"


def test_a_server_killed_in_the_middle_loses_none(web, family):
    chance = Random(7)
    films = [film(100 + seed, chance.randrange(300_000, 5_000_000)) for seed in range(KILLS)]
    for body in films:
        url = family.begin(len(body))
        family.cut(url, body, chance.randrange(1, len(body)), reset=False, meanwhile=web.kill)
        web.start()
        assert web.answers()
        assert family.send(body, url=url, chunk=3_000_000) == url
    assert kept() == sorted(sha256(body).hexdigest() for body in films)


JS_CLIENT = """
const { Upload } = require("tus-js-client");
const [path, endpoint, headers] = process.argv.slice(1);
const upload = new Upload(require("fs").createReadStream(path), {
  endpoint, headers: JSON.parse(headers), chunkSize: 100000, metadata: { filename: "swing.mp4" },
  retryDelays: Array(200).fill(200), onShouldRetry: () => true,
  onChunkComplete: (size, accepted) => console.log(accepted),
  onError: (error) => { console.error(String(error)); process.exit(1); },
  onSuccess: () => console.log("done"),
});
upload.start();
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
def test_the_reference_client_for_javascript_goes_on_across_a_killed_server(web, family, root, tmp_path):
    body = film(300, 3_000_000)
    (tmp_path / "swing.mp4").write_bytes(body)
    words = [str(tmp_path / "swing.mp4"), family.endpoint, json.dumps(family.headers)]
    client = subprocess.Popen(["node", "-e", JS_CLIENT, *words], cwd=root, stdout=subprocess.PIPE, text=True)
    assert client.stdout is not None
    told = [client.stdout.readline().strip() for _ in range(4)]  # so many pieces, and then
    web.kill()
    web.start()
    told += client.communicate(timeout=400)[0].split()
    assert told[-1] == "done"
    assert (client.returncode, kept()) == (0, [sha256(body).hexdigest()])
    accepted = [int(number) for number in told[:-1]]
    assert accepted == sorted(accepted)
