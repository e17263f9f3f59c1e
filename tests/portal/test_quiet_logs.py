"""No secret and no mail address gets into a log, whoever writes it."""

import io
import logging
import re
import subprocess
import sys

import pytest
from django.urls import get_resolver, reverse
from django.urls.resolvers import URLResolver

from portal import quiet_logs
from portal.people import invites
from tests.portal.conftest import make_player

# Parameters that open nothing by themselves: ids that access is asked for, and words of our own.
HARMLESS = {
    "id",
    "pk",
    "camp_pk",
    "slug",
    "stop",
    "frame",
    "level",
    "name",
    "app_label",
    "content_type_id",
    "object_id",
    "question",
    "url",
}


@pytest.fixture
def log():
    """All that any logger says, as a file would get it."""
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(logging.Formatter("%(levelname)s %(name)s: %(message)s"))
    root, level = logging.getLogger(), logging.getLogger().level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield out
    root.removeHandler(handler)
    root.setLevel(level)


def routes(resolver=None, before=""):
    for pattern in (resolver or get_resolver()).url_patterns:
        route = before + str(pattern.pattern).lstrip("^")
        if isinstance(pattern, URLResolver):
            yield from routes(pattern, route)
        else:
            yield route


def test_every_address_with_a_secret_is_cut_short():
    found = 0
    for route in routes():
        names = re.findall(r"<(?:\w+:)?(\w+)>", route)
        if set(names) <= HARMLESS:
            continue
        before = re.split(r"<|\(\?P", route)[0]
        found += 1
        assert quiet_logs.shorten(f"/{before}s3cret-k3y/x/") == f"/{before}…/x/", f"{route}: name it in BEFORE_SECRETS"
    assert found >= 3


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("Not Found: /join/Ab3_-x/who/", "Not Found: /join/…/who/"),
        ("/accounts/login/code/confirm/?next=%2Fjoin%2FAb3_-x%2Fwho%2F", "/accounts/login/code/confirm/?next=%2Fjoin%2F…%2Fwho%2F"),
        ('"GET /join/player/eyJ:1uV:x_Y/?a=1 HTTP/1.1" 500', '"GET /join/player/…/?a=1 HTTP/1.1" 500'),
        ("?next=%2Fjoin%2Fplayer%2FeyJ%3A1uV%3Ax_Y%2F", "?next=%2Fjoin%2Fplayer%2F…%2F"),
        ("http://localhost/accounts/password/reset/key/1-c9x-8f/", "http://localhost/accounts/password/reset/key/…/"),
        ("{'lea@example.org': (550, b'No such user')}", "{'…@example.org': (550, b'No such user')}"),
        ("celery@box ready, /players/1/ and /static/js/join/line.js", "celery@box ready, /players/1/ and /static/js/join/…"),
    ],
)  # fmt: skip
def test_what_is_cut_and_what_stays(said, kept):
    assert quiet_logs.shorten(said) == kept


def test_arguments_and_tracebacks_are_cut_too(log):
    logger = logging.getLogger("somebody.elses")
    logger.warning("%s went wrong for %s", "/join/Ab3/", "lea@example.org")
    try:
        raise ValueError("https://swings.example.org/join/Ab3/who/")
    except ValueError:
        logger.exception("It broke")
    said = log.getvalue()
    assert "Ab3" not in said
    assert "lea@" not in said
    assert "ValueError: https://swings.example.org/join/…/who/" in said


@pytest.mark.slow
@pytest.mark.parametrize("module", ["portal.wsgi", "portal.celery"])
def test_every_process_of_ours_logs_quietly(module, root):
    code = f"import {module}, logging, django.conf; django.conf.settings.DEBUG; logging.error('/join/Ab3/who/')"
    got = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert "/join/…/who/" in got.stderr
    assert "Ab3" not in got.stdout + got.stderr


def test_the_way_in_leaves_no_secret_in_any_log(log, client, camp, guardian, mailoutbox, monkeypatch):
    """Also where it goes wrong: unknown, closed, refused, broken."""
    client.raise_request_exception = False
    token = camp.invite_token
    teen = make_player(camp, guardian, first_name="Kit", birth_year=2010)
    own = invites.token_for(teen, "kit@example.org", guardian)
    for url in (reverse("join", args=[token]), reverse("join_player", args=[own])):
        client.get(url)
        client.put(url)
        client.get(url + "x/y/")
        client.post(url, {"email": "lea@example.org"})
        client.get(url + "?next=" + url)
        client.get(url, headers={"Host": "somebody.example"})
    client.get(reverse("join_who", args=[token]))
    client.get(reverse("join", args=[token[:-1] + "~"]))
    monkeypatch.setattr("portal.intake.views.joining.render", lambda *_args, **_more: 1 / 0)
    assert client.get(reverse("join", args=[token])).status_code == 500
    monkeypatch.setattr("portal.people.views.render", lambda *_args, **_more: 1 / 0)
    assert client.get(reverse("join_player", args=[own])).status_code == 500
    said = log.getvalue()
    assert "Internal Server Error: /join/…" in said
    assert "Method Not Allowed" in said
    for secret in (token, token[:-1], own, own.split(":")[0], "lea@example.org", "kit@example.org"):
        assert secret not in said
