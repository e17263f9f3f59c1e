"""What is installed is pinned, checked by hash, and named without the address of any index."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

PINS = ["requirements.txt", "requirements-dev.txt", "setup/requirements-installer.txt", "setup/requirements-node.txt"]
ADDRESS = re.compile(r"[a-z+]+://|\bhttps?:|^--|\bindex-url\b|\bfind-links\b", re.MULTILINE)


def entries(text: str) -> list[str]:
    """Each pin with its continued lines, comments left out."""
    joined = re.sub(r"\\\n", " ", text)
    return [line for line in joined.splitlines() if line.strip() and not line.lstrip().startswith("#")]


def direct(root: Path) -> dict[str, list[Requirement]]:
    """What pyproject.toml asks for, per list."""
    project = tomllib.loads((root / "pyproject.toml").read_text())
    lists = {"dependencies": project["project"]["dependencies"], **project["dependency-groups"]}
    return {name: [Requirement(line) for line in lines] for name, lines in lists.items()}


@pytest.mark.parametrize("name", PINS)
def test_every_pin_is_exact_and_has_hashes(root: Path, name: str):
    pins = entries((root / name).read_text())
    assert pins
    for pin in pins:
        words, *hashes = pin.split("--hash=")
        specifier = str(Requirement(words).specifier)
        assert re.fullmatch(r"==[0-9][\w.]*", specifier), pin
        assert hashes, pin
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", found.strip()) for found in hashes), pin


@pytest.mark.parametrize("name", [*PINS, "package.json", "package-lock.json", ".npmrc"])
def test_no_lock_file_names_an_address(root: Path, name: str):
    assert ADDRESS.findall((root / name).read_text()) == []


def test_npm_packages_are_exact_and_have_integrity(root: Path):
    wanted = json.loads((root / "package.json").read_text())
    assert all(version[0].isdigit() for key in ("dependencies", "devDependencies") for version in wanted[key].values())
    packages = json.loads((root / "package-lock.json").read_text())["packages"]
    locked = {name: entry for name, entry in packages.items() if name}
    assert locked
    assert all(entry["integrity"].startswith("sha512-") for entry in locked.values())


def test_pins_satisfy_what_pyproject_asks_for(root: Path):
    """`make lock` was run after the last change of a list."""
    files = {"dependencies": PINS[0], "dev": PINS[1], "installer": PINS[2], "node": PINS[3]}
    for group, asked in direct(root).items():
        pinned = {}
        for pin in entries((root / files[group]).read_text()):
            found = Requirement(pin.split("--hash=")[0])
            pinned[found.name] = next(iter(found.specifier)).version
        for requirement in asked:
            assert pinned[requirement.name] in requirement.specifier, f"{group}: {requirement}"


def test_tests_run_what_production_runs(root: Path):
    production, tests = ({pin.split()[0] for pin in entries((root / name).read_text())} for name in PINS[:2])
    assert production <= tests


def test_one_opencv_alone_is_pinned(root: Path):
    found = re.findall(r"^opencv[\w-]*", (root / "requirements-dev.txt").read_text(), re.MULTILINE)
    assert found == ["opencv-python-headless"]
