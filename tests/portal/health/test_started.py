"""What `manage.py run` says once the site answers."""

from io import StringIO
from types import SimpleNamespace

import pytest

from portal.health import ports
from portal.health.management.commands.run import Command

pytestmark = pytest.mark.django_db


def said(is_over=False):
    out = StringIO()
    Command(stdout=out).when_started(SimpleNamespace(is_over=is_over), "127.0.0.1", 8000)
    return out.getvalue()


def test_a_slow_start_is_told_and_the_address_follows(monkeypatch):
    answers = iter([False, False, True])
    monkeypatch.setattr(ports, "answers", lambda host, port: next(answers))
    words = said()
    assert words.count("It takes long to start") == 2
    assert "Cagenote is at" in words
    assert "has no owner yet" in words


def test_nothing_is_awaited_once_it_is_to_stop(monkeypatch):
    monkeypatch.setattr(ports, "answers", lambda host, port: False)
    assert said(is_over=True) == ""
