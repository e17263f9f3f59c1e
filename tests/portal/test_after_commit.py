"""What follows a commit may fail; what was committed stands."""

from __future__ import annotations

from functools import partial

import pytest
from django.db import transaction
from redis.exceptions import ConnectionError

from portal.after_commit import after_commit
from portal.people.models import User

pytestmark = pytest.mark.django_db(transaction=True)


class QueueIsDown(Exception):
    pass


def down(*_args: object) -> None:
    raise QueueIsDown


@pytest.mark.parametrize("follow", [down, partial(down, 1), lambda: down()], ids=["function", "partial", "lambda"])
def test_a_failure_after_the_commit_takes_nothing_back(follow, caplog):
    with transaction.atomic():
        User.objects.create_user("vera@example.org")
        after_commit(follow)
    assert User.objects.filter(email="vera@example.org").exists()
    assert "After the commit" in caplog.text


def test_a_queue_that_is_down_is_one_line_in_the_log(caplog):
    def ask_queue() -> None:
        raise ConnectionError("nobody\nlistens")

    with transaction.atomic():
        after_commit(ask_queue)
    assert "ask_queue failed (ConnectionError: nobody listens); it is found again." in caplog.text
    assert "Traceback" not in caplog.text


def test_one_failure_keeps_nothing_else_from_following():
    came: list[int] = []
    with transaction.atomic():
        after_commit(down)
        after_commit(came.append, 1)
    assert came == [1]


def test_nothing_follows_what_was_rolled_back():
    came: list[int] = []

    @transaction.atomic
    def broken() -> None:
        after_commit(came.append, 1)
        raise QueueIsDown

    with pytest.raises(QueueIsDown):
        broken()
    assert came == []
