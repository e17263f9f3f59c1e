"""A worker that measures has loaded what reading needs before it takes a clip; the others do without."""

from __future__ import annotations

import pytest

from portal.celery import app
from portal.measuring import door


@pytest.mark.parametrize(("queues", "loads"), [(["measuring"], True), (["mail"], False), (["celery"], False)])
def test_only_a_worker_that_measures_loads_ahead(
    queues: list[str], loads: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded: list[bool] = []
    monkeypatch.setattr(door, "preload_scipy", lambda: loaded.append(True))
    monkeypatch.setattr(app.amqp.queues, "_consume_from", app.amqp.queues._consume_from)  # as it was, after the test
    app.Worker(queues=queues, concurrency=1, pool_cls="solo", quiet=True)  # made, not started
    assert loaded == [True] * loads
