"""The virtual environment in .venv, with exactly the pinned packages, each checked by its hash."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from steps import Stamps, Trouble, content_key, run, step

PINS = {"demo": "requirements.txt", "test": "requirements-dev.txt"}
INSTALLER = "setup/requirements-installer.txt"


def make(root: Path) -> Path:
    """Make .venv unless it works already; returns its Python. An environment of an outdated Python is made anew."""
    folder = root / ".venv"
    python = folder / "bin" / "python"
    if not works(python):
        with step("virtual environment in .venv"):
            shutil.rmtree(folder, ignore_errors=True)
            run([sys.executable, "-m", "venv", folder], hint="Does this Python have the venv module?")
    return python


def works(python: Path) -> bool:
    """Whether this Python starts, is new enough and has pip."""
    probe = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    try:
        return subprocess.run([python, "-c", probe], capture_output=True).returncode == 0
    except OSError:
        return False


def install(root: Path, python: Path, target: str, stamps: Stamps) -> None:
    """Install the target's pins. The tests' pins contain the demo's, so a demo after a test has nothing to do."""
    keys = {name: content_key(root / pins, str(python.resolve())) for name, pins in PINS.items()}
    if stamps.fresh("packages", keys[target]) or stamps.fresh("packages", keys["test"]):
        return
    with step("Python packages, checked by hash (a minute or two)"):
        install_pins(root, python, root / PINS[target])
    stamps.write("packages", keys[target])


def install_pins(root: Path, python: Path, pins: Path) -> None:
    """--no-deps: the pins are complete, and mediapipe's own list would bring a second OpenCV (see pyproject.toml).

    uv does in ten seconds what takes pip a minute. It does not read pip's configuration, so where an index is only
    configured there, pip has to do it.
    """
    pip = [python, "-m", "pip", "install", "--quiet", "--no-deps", "--require-hashes", "--disable-pip-version-check"]
    run([*pip, "-r", root / INSTALLER], hint="Is this machine online?")
    try:
        run([python, "-m", "uv", "pip", "install", "--python", python, "--no-deps", "--require-hashes", "-r", pins])
    except Trouble:
        run([*pip, "--no-compile", "-r", pins])
