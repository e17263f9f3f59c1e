"""Note what METHOD and BOOK of `analysis.read.versions` stand for, once they went up:

    python -m tests.analysis.read.note_versions

The book is noted as a digest of its facts, the method by what it reads from a few committed tracks.
"""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path
from typing import Any

from analysis.read import BOOK, CHECKPOINTS, METHOD, read
from analysis.tracks import load

DATA = Path(__file__).parent / "data"
NOTED = DATA / "versions.json"
FILMS = ("birch_right_catcher", "hazel_child_two_swings", "maple_right_chest", "r23_left_pitcher_side")
NO_MATTER = 0.005  # of the reading strip: what another machine's arithmetic may differ by

Values = dict[str, list[float] | None]


def book_facts() -> str:
    """A digest of everything in the book that can change a result; its words cannot."""
    facts = [
        [entry.id, entry.instants, entry.unit, entry.views, dict(entry.bands), entry.scale, entry.by_eye]
        for entry in CHECKPOINTS
    ]
    return hashlib.sha256(json.dumps(facts, sort_keys=True).encode()).hexdigest()


def film_values(name: str) -> list[Values]:
    """Per swing what was read of each checkpoint: value and interval, None where it could not be read."""
    result = read(load(DATA / f"{name}.tracks.npz")).to_json()
    return [
        {r["checkpoint"]: None if r["value"] is None else [r["value"], *r["interval"]] for r in swing["readings"]}
        for swing in result["swings"]
    ]


def differences(before: list[Values], now: list[Values]) -> list[str]:
    """What is read otherwise than before, in words; rounding of another machine's arithmetic does not count."""
    if len(before) != len(now):
        return [f"{len(before)} swings became {len(now)}"]
    return [
        f"swing {number}, {entry.id}: {was.get(entry.id)} became {found.get(entry.id)}"
        for number, (was, found) in enumerate(zip(before, now, strict=True))
        for entry in CHECKPOINTS
        if not _same(was.get(entry.id), found.get(entry.id), NO_MATTER * (entry.scale[1] - entry.scale[0]))
    ]


def _same(was: list[float] | None, now: list[float] | None, room: float) -> bool:
    if was is None or now is None:
        return was is now
    return all(abs(one - other) <= room for one, other in zip(was, now, strict=True))


def noted() -> dict[str, Any]:
    return json.loads(NOTED.read_text())


def state() -> dict[str, Any]:
    return {
        "method": METHOD,
        "book": BOOK,
        "book_facts": book_facts(),
        "films": {name: film_values(name) for name in FILMS},
    }


def faults(before: dict[str, Any], now: dict[str, Any]) -> list[str]:
    """Why the numbers in `analysis/read/versions.py` do not fit what they stand for."""
    found = []
    if now["book"] < before["book"] or now["method"] < before["method"]:
        found.append("METHOD and BOOK only ever go up.")
    if now["book"] == before["book"] and now["book_facts"] != before["book_facts"]:
        found.append("The book changed: raise BOOK.")
    if now["method"] == before["method"] and now["book"] == before["book"]:
        changed = [words for name in FILMS for words in differences(before["films"][name], now["films"][name])]
        if changed:
            found.append(f"Reading changed ({changed[0]}, {len(changed)} in all): raise METHOD.")
    return found


def main() -> None:
    now = state()
    if NOTED.exists() and (wrong := faults(noted(), now)):
        sys.exit("\n".join(wrong))
    NOTED.write_text(json.dumps(now, separators=(",", ":")) + "\n")
    print(f"Noted method {METHOD} and book {BOOK}.")


if __name__ == "__main__":
    main()
