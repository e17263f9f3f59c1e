"""How quick the queue's page is with many submissions: `python -m tests.bench.queue_page`.

An invented camp of 10,000 submissions on a PostgreSQL of its own, or on SQLite with `--sqlite`. Each address of the page is
asked for again and again inside this process (the whole way through middleware, view and template, no network), in rounds; the
median of the quickest round is held against the goal, and queries are counted. The CPU time beside it (ours and that of the
database, and the least of ours) tells whether the machine was busy with other things. Exit status 1 when the goal is missed by
the clock.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

import django

from tests import servers

GOAL_MS = 50.0
ROUNDS = 5
FIRST = ("Ida", "Nilo", "Tova", "Joris", "Åsa", "Mateo", "Runa", "Odo", "Lou", "José")
LAST = ("Sandvall", "Vane", "Brandvold", "Achterberg", "Quist", "Núñez", "Oduya", "Verne", "Lindqvist", "Akintola")
ADDRESSES = (
    "",
    "?list=mine",
    "?list=free",
    "?list=others",
    "?list=published",
    "?q=sand",
    "?q=tova+vane",
    "?list=free&q=nunez&due=late&since=3",
    "?sort=player",
    "?sort=-since&page=40",
    "?list=published&sort=player&q=vane",
    "?camp={camp}",
    "?list=others&coach={coach}",
    "?state=film_again&list=film_again",
    "?sort=camp",
    "?sort=-camp&page=40",
    "?sort=coach",
    "?list=others&sort=-coach&page=40",
    "?list=others&camp={camp}&coach={coach}&state=in_review&due=late&since=7&q=vane&sort=camp",
)
RESULT = Path(__file__).parents[1] / "portal" / "measured.json"


def main(arguments: Sequence[str]) -> int:
    """Fill the site, ask, print, and compare with the goal."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.queue_page", description=__doc__)
    parser.add_argument("--sqlite", action="store_true")
    parser.add_argument("--submissions", type=int, default=10_000)
    parser.add_argument("--times", type=int, default=30)
    asked = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory(prefix="cagenote-bench-") as name:
        home = Path(name)
        redis, redis_url = servers.start_redis(home)
        try:
            _environment(home, redis_url, sqlite=asked.sqlite)
            django.setup()
            client, chosen = _fill(asked.submissions)
            print(f"{asked.submissions} submissions, {'SQLite' if asked.sqlite else 'PostgreSQL'}")
            slowest = max(_ask(client, query.format(**chosen), asked.times) for query in ADDRESSES)
        finally:
            servers.stop(redis)
            servers.stop_postgres(home)
    return int(slowest > GOAL_MS)


def _environment(home: Path, redis_url: str, *, sqlite: bool) -> None:
    (home / "runtime").mkdir(mode=0o700)
    os.environ.setdefault("XDG_RUNTIME_DIR", str(home / "runtime"))
    if not sqlite:
        servers.start_postgres(home)
    os.environ |= {
        "DJANGO_SETTINGS_MODULE": "portal.settings",
        "DATABASE_URL": "" if sqlite else servers.postgres_url(home),
        "DATA_DIR": str(home / "data"),
        "REDIS_URL": redis_url,
        "SECRET_KEY": "only-for-benches-" + "x" * 50,
        "ALLOWED_HOSTS": "localhost",
        "LOG_LEVEL": "ERROR",
    }
    for name in ("SITE_URL", "EMAIL_URL", "MEDIA_ROOT", "TRUSTED_PROXIES", "MEDIA_ACCEL"):
        os.environ.pop(name, None)


def _fill(count: int) -> tuple[Any, dict[str, int]]:
    """Two camps, three coaches, `count` players with a measured clip each; the first coach's client, and the camp and the other coach
    that the addresses name.
    """
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection
    from django.test import Client

    from portal.camps.models import Camp
    from portal.people.models import User

    settings.SECURE_SSL_REDIRECT = False
    settings.SECOND_FACTOR = False
    call_command("migrate", verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    coaches = [
        User.objects.create_user(f"{name.lower()}@example.org", name=f"{name} Oduya", is_coach=True)
        for name in ("Maren", "Tibor", "Oda")
    ]
    camps = [Camp.objects.create(name=name) for name in ("Lindholt fall camp", "Norrby softball days")]
    for camp in camps:
        camp.coaches.set(coaches)
    _submissions(count, camps, coaches)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    client = Client(HTTP_HOST="localhost")
    client.force_login(coaches[0], backend=settings.AUTHENTICATION_BACKENDS[0])
    return client, {"camp": camps[0].pk, "coach": coaches[1].pk}


def _submissions(count: int, camps: list[Any], coaches: list[Any]) -> None:
    from django.utils import timezone

    from portal.intake.models import Clip, Submission
    from portal.intake.states import State
    from portal.measuring.models import Measurement, Stage
    from portal.people.models import Player

    result, now = json.loads(RESULT.read_text()), timezone.now()
    # of ten: five wait, two are reviewed by one of three coaches, the others stand elsewhere
    states = [State.READY] * 5 + [State.IN_REVIEW] * 2 + [State.PUBLISHED, State.FILM_AGAIN, State.MEASURING]
    players, sent, clips, measurements = [], [], [], []
    for n in range(count):
        since, state = now - timedelta(hours=n % 700), states[n % 10]
        player = Player(first_name=FIRST[n % 10], last_name=LAST[n // 10 % 10], birth_year=2014)
        reviewer = coaches[n // 10 % 3] if state in (State.IN_REVIEW, State.PUBLISHED) else None
        submission = Submission(
            player=player, camp=camps[n % 2], state=state, reviewer=reviewer, received_at=since, state_since=since,
            promised_by=(since + timedelta(days=7)).date(), note="Early on the fast ones?" if n % 3 else "",
        )  # fmt: skip
        clip = Clip(submission=submission, name="IMG_0142.MOV", sha256=f"{n:064x}")
        players.append(player)
        sent.append(submission)
        clips.append(clip)
        measurements.append(Measurement(clip=clip, stage=Stage.DONE, result=result, products=f"clips/{clip.pk}"))
    for model, rows in ((Player, players), (Submission, sent), (Clip, clips), (Measurement, measurements)):
        model.objects.bulk_create(rows, batch_size=500)


def _ask(client: Any, query: str, times: int) -> float:
    """The median of the quickest of several rounds of answers in milliseconds, after a first answer that nobody counts."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    address = f"/queue/{query}"
    with CaptureQueriesContext(connection) as queries:
        answer = client.get(address)
    count = len(queries)
    if answer.status_code != 200:
        raise RuntimeError(f"{address}: {answer.status_code}")
    _is_understood(query, answer.content.decode())
    taken, worked, ours = [], [], []
    for _turn in range(times):
        begun, cpu, own = time.perf_counter(), _cpu_s(connection), time.process_time()
        client.get(address)
        taken.append(1000 * (time.perf_counter() - begun))
        ours.append(1000 * (time.process_time() - own))
        worked.append(1000 * (_cpu_s(connection) - cpu))
    size = max(1, times // ROUNDS)
    median = min(statistics.median(taken[n : n + size]) for n in range(0, times - size + 1, size))
    most, cpu_ms, least = sorted(taken)[int(0.95 * (times - 1))], statistics.mean(worked), min(ours)
    print(
        f"{address:45} {median:6.1f} ms  (95 % {most:6.1f})  {cpu_ms:5.1f} ms of CPU, {least:.1f} at least here  {count:2} queries",
        flush=True,
    )
    return median


def _is_understood(query: str, page: str) -> None:
    """The page holds lines and shows what the address asks for: a filter that means nothing is left out without a word."""
    asked = {name: value for name, value in parse_qsl(query.removeprefix("?")) if name not in ("page", "q", "list")}
    lost = [value for value in asked.values() if not re.search(rf'<option value="{re.escape(value)}"\s+selected', page)]
    if lost or "<tbody" not in page:
        raise RuntimeError(f"/queue/{query}: not understood: {lost}" if lost else f"/queue/{query}: no lines")


def _cpu_s(connection: Any) -> float:
    """CPU seconds of this process and, where it has one and /proc tells, of the database's process for it (in ticks of 10 ms)."""
    ours = time.process_time()
    if connection.vendor != "postgresql":
        return ours
    stat = Path(f"/proc/{connection.connection.info.backend_pid}/stat")
    if not stat.is_file():
        return ours
    fields = stat.read_text().rpartition(")")[2].split()
    return ours + (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
