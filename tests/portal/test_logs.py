"""What may not stand in a log."""

import io
import logging
import re
from logging.config import dictConfig

import pytest
from django.urls import get_resolver

from portal.logs import WithoutSecrets, without_secrets


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("Not Found: /join/Zk3v9QpLx/", "Not Found: /join/…"),
        ("Not Found: /join/Zk3v9QpLx/who/?a=b", "Not Found: /join/…"),
        ("GET '/join/player/eyJh.bc:de/' failed", "GET '/join/player/…' failed"),
        ("Not Found: /join/coach/eyJh.bc:de/", "Not Found: /join/coach/…"),
        ("Not Found: /start/Zk3v9QpLx/", "Not Found: /start/…"),
        ("Not Found: /accounts/confirm-email/key/MQ:1/", "Not Found: /accounts/confirm-email/key/…"),
        ("Not Found: /accounts/password/reset/key/1-abc/", "Not Found: /accounts/password/reset/key/…"),
        ("Not Found: /submissions/17/", "Not Found: /submissions/17/"),
        ("they join/leave", "they join/leave"),
    ],
)
def test_an_address_loses_its_secret(line, written):
    assert without_secrets(line) == written


def test_every_address_with_a_token_is_known_here():
    """A new one has to be written into portal/logs.py."""
    found = [str(one.pattern) for one in all_patterns(get_resolver()) if "token" in str(one.pattern)]
    assert len(found) >= 5
    for pattern in found:
        address = "/" + re.sub(r"<[^>]*token>", "Zk3v9QpLx", pattern)
        assert "Zk3v9QpLx" not in without_secrets(f"Not Found: {address}"), address


def all_patterns(resolver):
    for one in resolver.url_patterns:
        yield from all_patterns(one) if hasattr(one, "url_patterns") else [one]


def test_a_line_of_any_logger_and_its_traceback_pass_through(settings):
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.addFilter(WithoutSecrets())
    logger = logging.getLogger("django.request")
    logger.addHandler(handler)
    try:
        raise ValueError("no camp at /join/Zk3v9QpLx/")
    except ValueError:
        logger.exception("Internal Server Error: %s", "/join/Zk3v9QpLx/")
    finally:
        logger.removeHandler(handler)
    assert "Zk3v9QpLx" not in out.getvalue()
    assert out.getvalue().count("/join/…") == 3
    assert "ValueError" in out.getvalue()


def test_the_settings_use_it(settings):
    assert settings.LOGGING["handlers"]["console"]["filters"] == ["without_secrets"]
    dictConfig({**settings.LOGGING, "root": {}})


@pytest.mark.django_db
def test_a_link_that_is_spent_leaves_no_secret_behind(client, settings, capsys):
    """The page is a 404, which Django writes down with its address."""
    handler = logging.StreamHandler(out := io.StringIO())
    handler.addFilter(WithoutSecrets())
    logging.getLogger("django.request").addHandler(handler)
    try:
        assert client.get("/join/Zk3v9QpLxnothing/").status_code == 404
    finally:
        logging.getLogger("django.request").removeHandler(handler)
    assert "/join/…" in out.getvalue()
    assert "Zk3v9QpLx" not in out.getvalue()
