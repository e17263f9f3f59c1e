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
    ("samples", "total", "seconds"),
    [
        ([], 1000, None),
        ([{"at": 0, "sent": 0}], 1000, None),
        ([{"at": 0, "sent": 0}, {"at": 1000, "sent": 500}], 1000, None),  # too early to know
        ([{"at": 0, "sent": 0}, {"at": 2000, "sent": 200}], 1000, 8),  # 100 a second, 800 to go
        ([{"at": 4000, "sent": 500}, {"at": 6000, "sent": 500}], 1000, None),  # it stands still
        ([{"at": 0, "sent": 0}, {"at": 3000, "sent": 1000}], 1000, 0),
    ],
)
def test_the_rest_is_told_from_the_rate_of_the_last_seconds(samples, total, seconds):
    assert ask("upload_rate.js", f"m.secondsLeft({json.dumps(samples)}, {total})") == seconds


def test_samples_older_than_the_window_are_dropped():
    samples = [{"at": at, "sent": at} for at in (0, 5000, 10_000)]
    assert [
        sample["at"] for sample in ask("upload_rate.js", f"m.withSample({json.dumps(samples)}, {{at: 12000, sent: 9}})")
    ] == [
        5000,
        10_000,
        12_000,
    ]


@pytest.mark.parametrize(
    ("status", "text", "kind"),
    [
        (0, "", "wait"),  # no answer: the line broke
        (409, "Upload-Offset is 5; the upload stands at 6.", "wait"),
        (423, "", "wait"),
        (502, "<html>Bad gateway</html>", "wait"),
        (500, "null", "wait"),
        (415, '{"code": "photo", "words": "This is a photo."}', "refused"),
        (409, '{"code": "closed", "words": "It is with the coach."}', "refused"),
        (507, '{"code": "disk_full", "words": "Our disk is full."}', "refused"),
        (413, "", "refused"),
        (404, "", "refused"),
        (403, "<html>no token</html>", "refused"),
    ],
)
def test_every_answer_of_the_server_has_its_meaning(status, text, kind):
    assert ask("patience.js", f"m.meaningOf({status}, {json.dumps(text)})")["kind"] == kind


def test_the_servers_own_words_are_passed_on():
    meaning = ask("patience.js", f"m.meaningOf(415, {json.dumps(json.dumps({'words': 'This is a photo.'}))})")
    assert meaning == {"kind": "refused", "words": "This is a photo."}


def test_pauses_grow_and_then_stay():
    pauses = ask("patience.js", "[1, 2, 3, 4, 5, 6, 99].map(m.pauseAfter)")
    assert pauses == sorted(pauses)
    assert (pauses[0], pauses[-1]) == (1000, 12000)


@pytest.mark.parametrize("size", [1, 65536, 16 * 65536, 16 * 65536 + 1, 700 * 2**20])
def test_a_mark_is_taken_from_all_over_the_file(size):
    pieces = ask("mark.js", f"m.piecesOf({size})")
    assert pieces[0][0] == 0
    assert pieces[-1][1] == size
    assert sum(end - start for start, end in pieces) <= 16 * 65536
    assert all(0 <= start < end <= size for start, end in pieces)


def test_a_mark_tells_files_apart_by_size_and_by_content():
    script = (
        "await Promise.all([['a', 3], ['a', 4], ['b', 3], ['a', 3]].map(([s, n]) => m.markOf(new Blob([s.repeat(n)]))))"
    )
    first, longer, other, same = ask("mark.js", script)
    assert first == same
    assert len({first, longer, other}) == 3


def test_only_the_very_same_file_goes_on():
    begun = [{"url": "/uploads/1/", "size": 5, "mark": "aa"}, {"url": "/uploads/2/", "size": 5, "mark": ""}]
    found = ask(
        "begun.js", f"[[5,'aa'],[6,'aa'],[5,'bb'],[5,'']].map(([s,k]) => m.sameFile({json.dumps(begun)}, s, k)?.url)"
    )
    assert found == ["/uploads/1/", None, None, None]
