"""The queue carries work and nothing else; what is to be done stands in the database."""

from __future__ import annotations

from uuid import UUID

import redis
from django.conf import settings
from redis.backoff import NoBackoff
from redis.retry import Retry

NAMES = tuple(queue.name for queue in settings.CELERY_TASK_QUEUES)
MEASURING = "measuring"


def send(clip_id: UUID) -> None:
    """Ask a worker to measure this clip. May be lost or arrive twice: the claim and the sweep see to both."""
    from portal.measuring.tasks import measure_clip

    measure_clip.delay(str(clip_id))


def send_reading_again() -> None:
    """Ask a worker to read some old clips again, behind the clips that wait already."""
    from portal.measuring.tasks import read_some_again

    read_some_again.delay()


def length(name: str) -> int:
    """How many messages wait that no worker has taken. Raises redis.RedisError when the queue can't be reached."""
    soon = {
        "socket_timeout": settings.QUEUE_PATIENCE_S,
        "socket_connect_timeout": settings.QUEUE_PATIENCE_S,
        "retry": Retry(NoBackoff(), 0),
    }
    with redis.Redis.from_url(settings.REDIS_URL, **soon) as client:
        return int(client.llen(name))
