"""What comes from npm: the pose model's files for everybody; what the tests take."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

from steps import Stamps, content_key, run, step

FLAGS = ("--no-audit", "--no-fund", "--ignore-scripts")
PINS = "setup/requirements-node.txt"
LEAST_NPM = 10  # comes with Node.js 20, the first that runs all of the checks


def install(root: Path, python: Path, target: str, stamps: Stamps) -> None:
    """`npm ci` unless node_modules already holds what the lock file asks for."""
    key = content_key(root / "package-lock.json")
    present = (root / "node_modules").is_dir()
    if present and (stamps.fresh("npm test", key) or (target == "demo" and stamps.fresh("npm demo", key))):
        return
    npm = find_npm(root, python)
    with step("packages from npm"):
        folder = npm.parent
        less = ("--omit=dev",) if target == "demo" else ()
        run([npm, "ci", *FLAGS, *less], cwd=root, hint="Is this machine online?", PATH=path_with(folder))
    stamps.write("npm test", "" if target == "demo" else key)
    stamps.write("npm demo", key)


def find_npm(root: Path, python: Path) -> Path:
    """The system's npm, else one from a Python wheel, put into .venv."""
    installed = shutil.which("npm")
    if installed is not None and major_version(installed) >= LEAST_NPM:
        return Path(installed)
    npm = python.parent / "npm"
    if not npm.exists():
        with step("npm, as a Python package"):
            pip = [python, "-m", "pip", "install", "--quiet", "--no-deps", "--require-hashes", "-r", root / PINS]
            run(pip, hint="Or install Node.js 20 or newer yourself.")
    return npm


def major_version(program: str) -> int:
    """The first number a program answers to --version; 0 when it does not work."""
    try:
        told = subprocess.run([program, "--version"], capture_output=True, text=True, timeout=60)
        return int(told.stdout.strip().lstrip("v").split(".")[0])
    except (OSError, ValueError, subprocess.TimeoutExpired):
        return 0


def path_with(folder: Path) -> str:
    """PATH with npm's own folder first, where its node is."""
    return f"{folder}{os.pathsep}{os.environ.get('PATH', '')}"
