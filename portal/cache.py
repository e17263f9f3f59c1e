"""The cache in Redis, and in this process's memory while Redis does not answer: no page breaks because a counter can't be kept.

The cache holds counters of rate limits and the like. In memory each process counts for itself, so for as long as Redis is
away a limit is looser, and it is never gone.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Any

import redis
from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.backoff import NoBackoff
from redis.retry import Retry

log = logging.getLogger(__name__)

PATIENCE_S = 1.0
PAUSE_S = 5.0  # for so long Redis is not asked again after it did not answer
BETWEEN_LINES_S = 60.0
DOWN = (redis.RedisError, OSError)


class Cache(RedisCache):
    """Django's own cache in Redis with a second leg."""

    def __init__(self, server: Any, params: dict[str, Any]) -> None:
        soon = {
            "socket_timeout": PATIENCE_S,
            "socket_connect_timeout": PATIENCE_S,
            "retry": Retry(NoBackoff(), 0),
        }
        super().__init__(server, {**params, "OPTIONS": {**soon, **params.get("OPTIONS", {})}})
        self._memory = LocMemCache(f"beside {server}", {**params, "OPTIONS": {}})

    def add(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("add", args, kwargs)

    def get(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("get", args, kwargs)

    def set(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("set", args, kwargs)

    def touch(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("touch", args, kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("delete", args, kwargs)

    def get_many(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("get_many", args, kwargs)

    def has_key(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("has_key", args, kwargs)

    def incr(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("incr", args, kwargs)

    def set_many(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("set_many", args, kwargs)

    def delete_many(self, *args: Any, **kwargs: Any) -> Any:
        return self._ask("delete_many", args, kwargs)

    def clear(self) -> Any:
        self._memory.clear()
        return self._ask("clear", (), {})

    def _ask(self, name: str, args: tuple[Any, ...], kwargs: dict[str, Any]) -> Any:
        if not _Trouble.is_fresh():
            ask: Callable[..., Any] = getattr(RedisCache, name)
            try:
                return ask(self, *args, **kwargs)
            except DOWN as error:
                _Trouble.note(error)
        return getattr(self._memory, name)(*args, **kwargs)


class _Trouble:
    """When Redis last did not answer, for all threads of this process (Django makes a cache for each)."""

    _at = _said = float("-inf")

    @classmethod
    def is_fresh(cls) -> bool:
        return time.monotonic() - cls._at < PAUSE_S

    @classmethod
    def note(cls, error: Exception) -> None:
        cls._at = time.monotonic()
        if cls._at - cls._said > BETWEEN_LINES_S:
            cls._said = cls._at
            log.warning("The cache's Redis does not answer (%s); counting in memory meanwhile.", error)

    @classmethod
    def forget(cls) -> None:
        cls._at = cls._said = float("-inf")
