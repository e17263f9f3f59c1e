"""The pure parts of the browser's modules, asked through node."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

MODULES = Path(__file__).resolve().parents[3] / "static/js/intake"
pytestmark = pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")


def ask(module: str, expression: str) -> Any:
    """The value of a JavaScript expression in which `m` is the module."""
    address = json.dumps((MODULES / module).as_uri())
    script = f"import * as m from {address}; console.log(JSON.stringify({expression}));"
    run = subprocess.run(["node", "--input-type=module", "-e", script], capture_output=True, text=True, check=True)
    return json.loads(run.stdout)


@pytest.mark.parametrize(
    ("marks", "total", "seconds"),
    [
        ([], 1000, None),
        ([{"at": 0, "sent": 0}], 1000, None),
        ([{"at": 0, "sent": 0}, {"at": 1000, "sent": 500}], 1000, None),  # too early to know
        ([{"at": 0, "sent": 0}, {"at": 2000, "sent": 200}], 1000, 8),  # 100 a second, 800 to go
        ([{"at": 4000, "sent": 500}, {"at": 6000, "sent": 500}], 1000, None),  # it stands still
        ([{"at": 0, "sent": 0}, {"at": 3000, "sent": 1000}], 1000, 0),
    ],
)
def test_the_rest_is_told_from_the_pace_of_the_last_seconds(marks, total, seconds):
    assert ask("pace.js", f"m.secondsLeft({json.dumps(marks)}, {total})") == seconds


def test_marks_older_than_the_window_are_dropped():
    marks = [{"at": at, "sent": at} for at in (0, 5000, 10_000)]
    assert [mark["at"] for mark in ask("pace.js", f"m.noted({json.dumps(marks)}, {{at: 12000, sent: 9}})")] == [
        5000,
        10_000,
        12_000,
    ]


@pytest.mark.parametrize(
    ("status", "text", "kind"),
    [
        (201, '{"page": "/submissions/x/", "again": false}', "kept"),
        (200, '{"page": "/submissions/x/", "again": true}', "kept"),
        (415, '{"code": "photo", "words": "This is a photo."}', "refused"),
        (400, '{"code": "broken_off", "words": "The line broke."}', "broken"),
        (502, "<html>Bad gateway</html>", "refused"),
        (200, "<html>the sign-in page</html>", "refused"),
        (413, "", "refused"),
        (500, "null", "refused"),
    ],
)
def test_every_answer_of_the_server_has_its_outcome(status, text, kind):
    assert ask("line.js", f"m.outcomeOf({status}, {json.dumps(text)})")["kind"] == kind


def test_the_servers_own_words_are_passed_on():
    outcome = ask("line.js", f"m.outcomeOf(415, {json.dumps(json.dumps({'words': 'This is a photo.'}))})")
    assert outcome == {"kind": "refused", "words": "This is a photo."}
