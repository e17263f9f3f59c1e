"""One fenced process per clip: what it passes on, how it ends, and that nothing of it is left."""

import os
import time
from pathlib import Path

import pytest

from portal.measuring import runner
from tests.portal.measuring.conftest import runs


@pytest.fixture
def place(tmp_path):
    folder = tmp_path / "place"
    folder.mkdir()
    return folder


@pytest.fixture
def clip(tmp_path):
    path = tmp_path / "clip"
    path.write_bytes(b"film")
    return path


def is_running(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except FileNotFoundError:
        return False


def test_progress_is_passed_on_and_the_products_are_there(fake, clip, place):
    lines = []
    assert runner.measure(clip, place, lines.append) == runner.Measured()
    assert [line["stage"] for line in lines if line][::3] == ["opening", "finding", "watching", "reading", "copying"]
    assert (place / "products" / "review.mp4").stat().st_size > 0
    assert (place / "tracks.npz").exists()


def test_a_refusal_keeps_its_words(fake, clip, place):
    (fake / "end").write_text("refuse")
    ending = runner.measure(clip, place, lambda line: None)
    assert isinstance(ending, runner.Refused)
    assert ending.code == "nobody"
    assert ending.words.startswith("We could not find a hitter")


def test_a_crash_is_no_refusal_and_keeps_its_trace(fake, clip, place):
    (fake / "end").write_text("crash")
    ending = runner.measure(clip, place, lambda line: None)
    assert ending == runner.Stopped(-6, "Traceback: something of ours broke")


@pytest.mark.parametrize("code", ["not_set_up", "not_written", "not_there", "crashed"])
def test_what_the_site_is_to_blame_for_is_no_refusal(fake, clip, place, code):
    (fake / "end").write_text("ours")
    (fake / "code").write_text(code)
    ending = runner.measure(clip, place, lambda line: None)
    assert isinstance(ending, runner.Stopped)
    assert ending.trace.startswith(f"{code}: The disk is full.")


def test_a_failure_without_words_is_ours(fake, clip, place):
    """Exit 1 with noise on the output: nobody can act on that, so it is not shown as the clip's fault."""
    (fake / "end").write_text("noise")
    assert isinstance(runner.measure(clip, place, lambda line: None), runner.Stopped)


@pytest.mark.slow
def test_a_process_that_takes_too_long_is_ended(fake, clip, place, settings):
    settings.MEASURE_TIME_LIMIT_S, settings.MEASURE_STALE_S = 5, 2  # long enough to start on a busy machine
    (fake / "halt-watching").touch()
    assert runner.measure(clip, place, lambda line: None) == runner.Overtime()
    assert not is_running(int((fake / "halted").read_text()))


def test_silence_is_reported_so_that_the_worker_can_give_a_sign_of_life(fake, clip, place, settings):
    settings.MEASURE_STALE_S = 2
    (fake / "halt-finding").touch()
    silences = []

    def listener(line):
        silences.append(time.monotonic()) if line is None else None
        if len(silences) >= 3 and (fake / "halted").exists():
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        runner.measure(clip, place, listener)
    assert silences[2] - silences[1] == pytest.approx(2 / 6, abs=0.15)
    assert not is_running(int((fake / "halted").read_text()))


def test_the_process_gets_no_secrets_and_stands_back(fake, clip, place, settings, monkeypatch):
    monkeypatch.setenv("SECRET_KEY", "hush")
    monkeypatch.setenv("DATABASE_URL", "postgres://secret")
    settings.MEASURE_NICENESS = 7
    (fake / "end").write_text("environment")
    words = runner.measure(clip, place, lambda line: None).words
    assert "SECRET_KEY" not in words
    assert "DATABASE_URL" not in words
    assert "REDIS_URL" not in words
    assert f"nice={min(os.nice(0) + 7, 19)}" in words


def test_the_process_is_fenced_in(fake, clip, place, settings):
    settings.MEASURE_MEMORY_MB = 2048
    (fake / "halt-opening").touch()
    limits = {}

    def listener(line):
        if (fake / "halted").exists():
            pid = (fake / "halted").read_text()
            limits.update(
                {row[:26].strip(): row[26:47].strip() for row in Path(f"/proc/{pid}/limits").read_text().splitlines()}
            )
            raise KeyboardInterrupt

    settings.MEASURE_STALE_S = 2
    with pytest.raises(KeyboardInterrupt):
        runner.measure(clip, place, listener)
    assert limits["Max address space"] == str(2048 * 2**20)
    assert limits["Max core file size"] == "0"
    assert limits["Max cpu time"] == str(settings.MEASURE_TIME_LIMIT_S * os.cpu_count())
    assert runs(fake) == 1
