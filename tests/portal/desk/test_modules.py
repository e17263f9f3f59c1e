"""The desk's browser modules that need no browser, run by Node's own test runner."""

import shutil
import subprocess
from pathlib import Path

import pytest

TESTS = sorted((Path(__file__).parent / "js").glob("*.test.mjs"))


@pytest.mark.parametrize("path", TESTS, ids=lambda path: path.name.removesuffix(".test.mjs"))
def test_browser_module(path):
    node = shutil.which("node")
    assert node, "node is needed to test the browser modules; `make setup` installs it"
    run = subprocess.run([node, "--test", str(path)], capture_output=True, text=True, timeout=120)
    assert run.returncode == 0, run.stdout + run.stderr
    assert "# pass 0" not in run.stdout
