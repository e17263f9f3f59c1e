"""Redis dead, silent or full: pages answer, clips are kept, and what was to be queued is found again."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator

import pytest
import redis
from django.core.cache import caches
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from kombu.exceptions import OperationalError

from portal import cache as cache_module
from portal import queue_door
from portal.celery import app
from portal.intake.models import Clip
from portal.measuring import queue, sweeping
from portal.measuring.models import Measurement, Stage
from portal.measuring.tasks import measure_clip
from tests import servers
from tests.servers import free_port

FILM = b"\0\0\0\x18ftypmp42" + b"\7" * 20_000


@pytest.fixture
def silent() -> Iterator[str]:
    """The address of something that accepts and never says a word."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen(50)
        yield f"redis://127.0.0.1:{listener.getsockname()[1]}/0"


@pytest.fixture
def dead() -> str:
    return f"redis://127.0.0.1:{free_port()}/0"


@pytest.fixture
def full(tmp_path) -> Iterator[str]:
    """A Redis that takes no more writes: one of its own, for the run's serves tests in other workers meanwhile."""
    process, url = servers.start_redis(tmp_path)
    with redis.Redis.from_url(url) as client:
        client.config_set("maxmemory", 1)
    yield url
    servers.stop(process)


@pytest.fixture(params=["dead", pytest.param("silent", marks=pytest.mark.slow), "full"])
def broken_redis(request, settings) -> Iterator[str]:
    """Queue and cache both meet a Redis in trouble, and forget it afterwards."""
    url = request.getfixturevalue(request.param)
    settings.REDIS_URL = url
    settings.CACHES = {"default": {"BACKEND": "portal.cache.Cache", "LOCATION": url}}
    with _broker(url):
        _forget()
        yield request.param
    _forget()


def _forget() -> None:
    queue_door.Hurried.forget()
    cache_module._Trouble.forget()
    for one in caches.all(initialized_only=True):
        if isinstance(one, cache_module.Cache):
            one._memory.clear()


class _broker:
    """Point the app's publishing connections elsewhere for a while."""

    def __init__(self, url: str) -> None:
        self.url = url

    def __enter__(self) -> None:
        self.before = app.conf.broker_write_url
        self._turn(self.url)

    def __exit__(self, *error: object) -> None:
        self._turn(self.before)

    def _turn(self, url: str) -> None:
        app.conf.broker_write_url = url
        app._pool = None  # kombu keeps one pool for each address
        app.amqp._producer_pool = None


def test_a_clip_sent_meanwhile_is_kept_and_found_by_the_sweep(
    broken_redis, sign_in, guardian, submission, django_capture_on_commit_callbacks, monkeypatch
):
    begun, began = submission(), time.monotonic()
    with django_capture_on_commit_callbacks(execute=True):
        form = {"clip": SimpleUploadedFile("a.mp4", FILM)}
        answer = sign_in(guardian).post(reverse("clip_upload", args=[begun.pk]), form)
    assert answer.status_code == 302
    assert time.monotonic() - began < 6
    clip = Clip.objects.get()
    assert clip.original.read() == FILM
    assert clip.measurement.stage == Stage.WAITING
    sent: list[object] = []
    monkeypatch.setattr(queue, "send", sent.append)
    monkeypatch.setattr(queue, "length", lambda name: 0)
    Measurement.objects.update(queued_at=None)
    with django_capture_on_commit_callbacks(execute=True):
        sweeping.sweep()
    assert sent == [clip.pk]


def test_no_page_breaks(broken_redis, client, sign_in, guardian, owner, submission):
    """Rate limits are counted in the cache: the pages to sign in on ask it at every visit."""
    began = time.monotonic()
    assert client.get(reverse("account_login")).status_code == 200
    asked = client.post(reverse("account_request_login_code"), {"email": guardian.email})
    assert asked.status_code == 302
    wrong = Client().post(reverse("account_login"), {"login": guardian.email, "password": "not this one at all"})
    assert wrong.status_code == 200
    assert sign_in(guardian).get(reverse("family")).status_code == 200
    assert sign_in(owner).get(reverse("health_page")).status_code == 200
    assert client.get(reverse("health")).status_code == 503
    assert time.monotonic() - began < 20


@pytest.mark.parametrize("broken_redis", ["dead", pytest.param("silent", marks=pytest.mark.slow)], indirect=True)
def test_a_message_gives_up_soon_and_the_next_at_once(broken_redis):
    began = time.monotonic()
    with pytest.raises(OperationalError):
        measure_clip.delay("x")
    assert time.monotonic() - began < 4
    began = time.monotonic()
    with pytest.raises(queue_door.QueueIsDown):
        measure_clip.delay("x")
    assert time.monotonic() - began < 0.1


def test_a_full_redis_is_told_like_a_dead_one(full, settings):
    with _broker(full):
        with pytest.raises((redis.RedisError, OperationalError)):
            measure_clip.delay("x")
        with pytest.raises(queue_door.QueueIsDown):
            measure_clip.delay("x")
    _forget()


def test_the_cache_counts_in_memory_meanwhile(broken_redis, caplog):
    cache = caches["default"]
    cache.set("tries", 1, 60)
    assert cache.add("tries", 5) is False
    assert cache.incr("tries") == 2
    assert cache.get("tries") == 2
    assert cache.get_many(["tries"]) == {"tries": 2}
    cache.delete("tries")
    assert "tries" not in cache
    assert len([line for line in caplog.messages if "does not answer" in line]) == 1


def test_the_cache_goes_back_to_redis(redis_url, settings, monkeypatch):
    settings.CACHES = {"default": {"BACKEND": "portal.cache.Cache", "LOCATION": redis_url}}
    cache = caches["default"]
    cache_module._Trouble.note(OSError("gone"))
    cache.set("a", 1)
    cache_module._Trouble.forget()
    assert cache.get("a") is None, "what was in memory stays there"
    cache.set("a", 2)
    assert cache.get("a") == 2
