"""Messages in the queue, and counts in the cache, that name what is erased."""

from __future__ import annotations

import base64
import contextlib
import json
from collections.abc import Iterable
from typing import Any

import redis
from django.conf import settings

from portal.measuring import queue

UNACKNOWLEDGED = "unacked"  # kombu's hash of what a worker has taken and not finished


def forget(ids: Iterable[str]) -> int:
    """Take every message out of the queue that names one of `ids`, and every count under one of them. Returns how many.

    Raises redis.RedisError when the queue can't be reached.
    """
    wanted = set(ids)
    if not wanted:
        return 0
    with _client() as client:
        return _from_lists(client, wanted) + _from_workers(client, wanted) + _from_cache(client, wanted)


def forget_on_disk() -> None:
    """Let our own Redis write its file anew, without what was taken out. One that somebody else runs is theirs."""
    if settings.EMBEDDED_REDIS:
        with _client() as client, contextlib.suppress(redis.ResponseError):  # it is writing just now, or starts to
            client.bgsave()


def _client() -> Any:
    return redis.Redis.from_url(settings.REDIS_URL, socket_timeout=5, socket_connect_timeout=5)


def _from_lists(client: Any, wanted: set[str]) -> int:
    found = 0
    for name in queue.NAMES:
        for message in client.lrange(name, 0, -1):
            if _names_any(message, wanted):
                found += int(client.lrem(name, 0, message))
    return found


def _from_workers(client: Any, wanted: set[str]) -> int:
    tags = [tag for tag, message in client.hscan_iter(UNACKNOWLEDGED) if _names_any(message, wanted)]
    if tags:
        client.hdel(UNACKNOWLEDGED, *tags)
        client.zrem(f"{UNACKNOWLEDGED}_index", *tags)
    return len(tags)


def _from_cache(client: Any, wanted: set[str]) -> int:
    """Counts of sign-ins are kept by a hash of the address."""
    keys = [key for key in client.scan_iter(match="*:rl:*", count=1000) if key.decode().rsplit(":", 1)[-1] in wanted]
    return int(client.delete(*keys)) if keys else 0


def _names_any(message: bytes, wanted: set[str]) -> bool:
    """Whether an id stands in the message, or in its body, which is packed once more."""
    text = message.decode(errors="replace")
    with contextlib.suppress(ValueError, TypeError, KeyError):
        read = json.loads(text)
        read = read[0] if isinstance(read, list) else read
        text += base64.b64decode(read["body"]).decode(errors="replace")
    return any(one in text for one in wanted)
