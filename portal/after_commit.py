"""What follows a commit: it may fail, and the commit stands all the same.

The database is the truth. A queue, a mail server or a disk that is down after the commit takes nothing back: what was to
follow is found again (by the sweep, by the emails that wait, by the leftovers). So nothing given to `after_commit` may
be the only place that knows of the work.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import ParamSpec

from django.db import transaction

from portal import queue_door

log = logging.getLogger(__name__)
P = ParamSpec("P")


def after_commit(follow: Callable[P, object], *args: P.args, **kwargs: P.kwargs) -> None:
    """Call `follow` once the transaction holds; at once outside of one. What it raises is logged and goes no further.

    Django's own `on_commit(…, robust=True)` is no substitute: it names the function in its log by `__qualname__`, which
    a `functools.partial` lacks, and the error of that comes out after the commit.
    """

    def quietly() -> None:
        try:
            follow(*args, **kwargs)
        except queue_door.NOT_TAKEN as error:  # known, and told by the health page: no need of a traceback
            log.warning("After the commit, %s failed (%s); it is found again.", _name(follow), _one_line(error))
        except Exception:
            log.exception("After the commit, %s failed; it is found again.", _name(follow))

    transaction.on_commit(quietly)


def _name(follow: object) -> object:
    return getattr(follow, "__qualname__", follow)


def _one_line(error: Exception) -> str:
    return " ".join(f"{type(error).__name__}: {error}".split())
