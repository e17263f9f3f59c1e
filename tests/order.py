"""In which order files of tests are handed out: the longest first, so that none of them is begun when all others are done.

xdist hands out whole files (`--dist loadfile`), and of its own those with the most tests first: a walk of one test that takes two
minutes would come last, and one core would wait for the other. So `make test` also says `--no-loadscope-reorder`.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# By the time they take on two idle cores; all that is not named takes less than ten seconds.
LONGEST = (
    "tests/repeats/test_repeats.py",
    "tests/browser/test_desk.py",
    "tests/analysis/watch/test_zoo.py",
    "tests/browser/test_real_site.py",
    "tests/browser/test_desk_swings.py",
    "tests/browser/test_desk_kept.py",
    "tests/browser/test_desk_going.py",
    "tests/browser/test_desk_keys.py",
    "tests/browser/test_look.py",
    "tests/browser/test_whole_way.py",
    "tests/portal/backup/test_backup.py",
    "tests/house/test_embedded_fronts.py",
    "tests/house/test_full_set.py",
    "tests/portal/measuring/test_real.py",
    "tests/portal/measuring/test_kill.py",
    "tests/browser/test_desk_points.py",
    "tests/portal/privacy/test_no_trace.py",
    "tests/portal/health/test_run.py",
    "tests/portal/health/test_slow_lines.py",
    "tests/analysis/test_cli.py",
    "tests/portal/intake/tus/test_kills.py",
    "tests/analysis/watch/test_footage.py",
    "tests/browser/test_desk_presses.py",
    "tests/browser/test_desk_clips.py",
    "tests/browser/test_desk_undo.py",
    "tests/browser/test_desk_accounts.py",
    "tests/browser/test_desk_plate.py",
    "tests/browser/test_desk_hands.py",
    "tests/browser/test_desk_doubts.py",
    "tests/browser/test_desk_words.py",
    "tests/browser/test_desk_viewport.py",
    "tests/browser/test_desk_counting.py",
    "tests/browser/test_desk_frames.py",
    "tests/browser/test_upload.py",
    "tests/browser/test_family.py",
    "tests/browser/test_privacy.py",
    "tests/browser/test_owner_pages.py",
    "tests/analysis/read/test_film_truth.py",
    "tests/portal/intake/tus/test_cuts.py",
    "tests/repeats/test_variants.py",
    "tests/portal/outbox/test_worker.py",
    "tests/portal/desk/test_kill.py",
    "tests/portal/web/test_channel.py",
    "tests/portal/test_dead_redis.py",
    "tests/portal/test_every_url.py",
    "tests/portal/test_form_address.py",
    "tests/browser/test_desk_give.py",
    "tests/portal/test_every_look.py",
    "tests/portal/fuzzing/test_fuzz.py",
    "tests/analysis/read/test_ground.py",
)


def longest_first(items: list[pytest.Item]) -> None:
    """Sort in place; tests of one file stay together, and in their order."""
    places = {os.fspath(ROOT / name): place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(os.fspath(item.path), len(places)))
