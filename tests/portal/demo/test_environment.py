"""The demo keeps to itself: nothing in the environment leads it to a real site."""

import os
import subprocess
import sys

import pytest

from portal.demo import environment


@pytest.fixture
def bare(monkeypatch):
    """An environment that the test may change at will."""
    monkeypatch.setattr(os, "environ", {})
    return os.environ


def test_a_real_site_is_forgotten(bare):
    real = {
        "DATABASE_URL": "postgres://families",
        "REDIS_URL": "redis://x",
        "MEDIA_ROOT": "/families",
        "EMAIL_URL": "smtp://x",
    }
    bare.update(real)
    environment.enter()
    assert not real.keys() & bare.keys()
    assert bare["CAGENOTE_DEMO"] == "1"
    assert bare["DATA_DIR"].endswith("var/demo")


def test_folder_port_and_hands_may_be_chosen(bare):
    chosen = {"DATA_DIR": "/elsewhere", "PORT": "8123", "MEASURE_CLIPS": "1"}
    bare.update(chosen)
    environment.enter()
    assert chosen.items() <= bare.items()


@pytest.mark.slow
def test_the_command_enters_it_before_django_reads_its_settings(root, tmp_path):
    """A folder that holds a site which is no demo is refused, whatever DATABASE_URL says."""
    (tmp_path / "cagenote.sqlite3").write_bytes(b"families")
    env = {**os.environ, "DATA_DIR": str(tmp_path), "DATABASE_URL": "nonsense://x", "PORT": "0"}
    wrong_port = subprocess.run(
        [sys.executable, "manage.py", "demo"], cwd=root, env=env, capture_output=True, text=True, timeout=120
    )
    assert "PORT is 0" in wrong_port.stderr
    env.pop("PORT")
    refused = subprocess.run(
        [sys.executable, "manage.py", "demo", "--port", "18099"],
        cwd=root,
        env=env,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert refused.returncode == 1
    assert "holds a site that is no demo" in refused.stderr
    assert "Traceback" not in refused.stderr
