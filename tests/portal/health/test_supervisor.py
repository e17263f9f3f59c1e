"""The embedded set is kept running, and all of it is stopped: real processes."""

import os
import signal
import subprocess
import sys
import time

import pytest

from portal.health import child
from portal.health.child import Child, Recipe
from portal.health.supervisor import Supervisor
from tests.portal.measuring.test_runner import is_running
from tests.servers import wait_until

LASTING = "import time, os; print('pid', os.getpid(), flush=True); time.sleep(600)"
WITH_GRANDCHILD = """
import subprocess, sys, time
inner = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
print("pid", inner.pid, flush=True)
time.sleep(600)
"""
DEAF = "import signal, time; signal.signal(signal.SIGTERM, signal.SIG_IGN); print('pid 0', flush=True); time.sleep(600)"


@pytest.fixture
def said():
    return []


@pytest.fixture
def say(said):
    return lambda name, line: said.append((name, line))


@pytest.fixture
def make(say):
    """A child of this program; whatever runs at the end of the test is killed."""
    children = []

    def start(program, **options) -> Child:
        children.append(Child(Recipe("one", [sys.executable, "-c", program], **options), say))
        return children[-1]

    yield start
    for one in children:
        one.kill()


def pids(said) -> list[int]:
    return [int(line.split()[1]) for _, line in said if line.startswith("pid ")]


def test_lines_are_passed_on_with_the_name(make, said):
    make("print('first'); print('second')").start()
    assert wait_until(lambda: ("one", "second") in said, 10)


def test_one_that_dies_is_started_again_with_growing_pauses(make, said, monkeypatch):
    monkeypatch.setattr(child, "BACKOFF_S", (0.1, 0.4))
    one = make("raise SystemExit(3)")
    assert wait_until(lambda: one.tend() or one.deaths == 3, 20)
    assert [line for _, line in said] == [
        "ended with status 3; starting it again in 0.1 s",
        "ended with status 3; starting it again in 0.4 s",
        "ended with status 3; starting it again in 0.4 s",
    ]


def test_what_a_child_started_goes_with_it(make, said):
    one = make(WITH_GRANDCHILD)
    one.start()
    assert wait_until(lambda: len(pids(said)) == 1, 10)
    one.stop()
    assert wait_until(lambda: not is_running(pids(said)[0]), 5)


def test_one_that_does_not_listen_is_killed_after_its_patience(make, said):
    one = make(DEAF, patience_s=0.5)
    one.start()
    assert wait_until(lambda: len(said) == 1, 10)
    start = time.monotonic()
    one.stop()
    assert 0.4 < time.monotonic() - start < 5


@pytest.mark.slow
def test_the_supervisor_starts_in_order_restarts_and_stops_all(say, said, monkeypatch):
    monkeypatch.setattr(child, "BACKOFF_S", (0.1,))
    recipes = [Recipe(name, [sys.executable, "-c", LASTING]) for name in ("queue", "worker")]
    supervisor = Supervisor(recipes, say)

    def meddle():
        assert wait_until(lambda: len(pids(said)) == 2, 20)
        os.kill(pids(said)[1], signal.SIGKILL)
        assert wait_until(lambda: len(pids(said)) == 3, 20)
        supervisor.stop()

    supervisor.run(meddle)
    assert not any(is_running(pid) for pid in pids(said))


@pytest.mark.slow
def test_a_silent_worker_is_started_again(say, said):
    asked = []

    def silent(name, age_s):
        asked.append(name)
        return len(asked) == 1

    supervisor = Supervisor([Recipe("worker", [sys.executable, "-c", LASTING])], say, silent, every_s=1.0)
    supervisor.run(lambda: wait_until(lambda: len(pids(said)) == 2, 30) and supervisor.stop())
    assert ("worker", "gives no sign of life; starting it again") in said
    assert len(pids(said)) == 2


def test_sigterm_ends_everything(say, said):
    supervisor = Supervisor([Recipe("one", [sys.executable, "-c", LASTING])], say)
    before = signal.getsignal(signal.SIGTERM)

    def ask():
        wait_until(lambda: len(pids(said)) == 1, 20)
        os.kill(os.getpid(), signal.SIGTERM)

    supervisor.run(ask)
    assert not is_running(pids(said)[0])
    assert signal.getsignal(signal.SIGTERM) == before


def test_trouble_beside_ends_everything_and_is_told(say, said):
    def fail():
        wait_until(lambda: len(pids(said)) == 1, 20)
        raise RuntimeError("no films")

    with pytest.raises(RuntimeError, match="no films"):
        Supervisor([Recipe("one", [sys.executable, "-c", LASTING])], say).run(fail)
    assert not is_running(pids(said)[0])


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux tells children of their parent's death")
def test_a_supervisor_that_is_killed_leaves_nothing_running(tmp_path, root):
    program = f"""
import sys
from portal.health.child import Child, Recipe
one = Child(Recipe("one", [sys.executable, "-c", {LASTING!r}]), lambda name, line: print(line, flush=True))
one.start()
one.wait(600)
"""
    head = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, text=True, cwd=root,
                            env={**os.environ, "DJANGO_SETTINGS_MODULE": "portal.settings"})  # fmt: skip
    pid = int(head.stdout.readline().split()[1])
    assert is_running(pid)
    head.kill()
    head.wait()
    assert wait_until(lambda: not is_running(pid), 5)
