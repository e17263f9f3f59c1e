"""The real worker for mail: how soon a code leaves, and that no email is lost when it is killed at any moment."""

import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from contextlib import suppress
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.mail import EmailMessage
from django.db.models import F

from portal.outbox import claims
from portal.outbox.models import Email, EmailState
from portal.outbox.tasks import send_waiting
from portal.outbox.writing import write
from tests.portal.outbox.peers import MailServer
from tests.servers import wait_until

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
KILLS = 12


@pytest.fixture
def start_worker(process_env, redis_url, tmp_path, root, monkeypatch):
    """start_worker(port): the worker for mail beside the test, sending through this port; ended with the test."""
    monkeypatch.setattr("portal.outbox.queue.wake", send_waiting.delay)
    started: list[subprocess.Popen] = []

    def start(port: int) -> subprocess.Popen:
        env = {**process_env, "EMAIL_URL": f"smtp://127.0.0.1:{port}", "EMAIL_TIMEOUT": "2", "LOG_LEVEL": "WARNING"}
        command = [sys.executable, "-m", "tests.soon_missed", "-A", "portal", "worker", "-c", "1", "-Q", "mail"]
        command += ["--without-mingle", "--without-gossip", "--loglevel", "warning"]
        log = (tmp_path / f"worker{len(started)}.log").open("wb")
        started.append(subprocess.Popen(command, cwd=root, env=env, stdout=log, stderr=log, start_new_session=True))
        return started[-1]

    yield start
    for process in started:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def email(number: int, **options) -> Email:
    return write(EmailMessage(f"No {number}", "Hello\n", None, [f"{number}@example.org"]), **options)[0]


def sent() -> int:
    return Email.objects.filter(state=EmailState.SENT).count()


def test_a_code_leaves_within_a_second(mail_server, start_worker):
    server = mail_server()
    start_worker(server.port)
    email(0)
    assert wait_until(lambda: sent() == 1, 180), "the worker did not come up"
    took = []
    for number in range(1, 11):
        begin = time.monotonic()
        email(number, urgent=True)
        assert wait_until(lambda wanted=number: len(server.taken) > wanted, 20)
        took.append(time.monotonic() - begin)
        time.sleep(0.1)
    print("from the row to the mail server's ok, s:", [round(one, 3) for one in sorted(took)])
    assert sorted(took)[5] < 1.0


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for the worker's child in /proc")
def test_no_email_is_lost_when_the_worker_is_killed_at_random_moments(mail_server, start_worker):
    """Some arrive twice, with the same Message-ID: so a receiver can fold them."""
    dice = random.Random(7)

    def slow(content):
        time.sleep(dice.uniform(0, 0.3))

    server = mail_server(MailServer(data=slow))
    worker = start_worker(server.port)
    emails = [email(number) for number in range(60)]
    assert wait_until(lambda: len(server.taken) > 0, 180), "the worker did not come up"
    for _again in range(KILLS):
        asked = len(server.asked)
        send_waiting.delay()
        if not wait_until(lambda before=asked: len(server.asked) > before, 10):
            break  # all are sent
        time.sleep(dice.uniform(0, 0.3))
        with suppress(ProcessLookupError, IndexError):  # between two children
            os.kill(children_of(worker.pid)[-1], signal.SIGKILL)

    def all_gone() -> bool:
        Email.objects.filter(state=EmailState.SENDING).update(
            tried_at=F("tried_at") - claims.STALE - timedelta(seconds=1)
        )
        send_waiting.delay()
        time.sleep(0.3)
        return sent() == len(emails)

    assert wait_until(all_gone, 120), Counter(Email.objects.values_list("state", flat=True))
    arrived = Counter(message["Message-ID"] for _, message in server.taken)
    assert set(arrived) == {one.message_id for one in emails}
    assert Email.objects.filter(attempts__gt=1).exists(), "no kill hit an email in the middle"
    print("emails:", len(emails), "arrived twice:", sum(count > 1 for count in arrived.values()))
    print("tried again after a kill:", Email.objects.filter(attempts__gt=1).count())


def children_of(pid: int) -> list[int]:
    with suppress(FileNotFoundError):
        return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    return []
