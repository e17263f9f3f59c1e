"""In which order files of tests are handed out: the longest first, so that none of them is begun when all others are done.

xdist hands out whole files (`--dist loadfile`), and of its own those with the most tests first: a walk of one test that takes two
minutes would come last, and one core would wait for the other. So `make test` also says `--no-loadscope-reorder`.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# By the time they take where three workers share two cores; all that is not named takes less than eleven seconds.
LONGEST = (
    "tests/analysis/watch/test_zoo.py",
    "tests/browser/test_desk_frames.py",
    "tests/portal/backup/test_backup.py",
    "tests/browser/test_desk_swings.py",
    "tests/portal/evaluations/test_pdf.py",
    "tests/repeats/test_repeats.py",
    "tests/browser/test_desk.py",
    "tests/browser/test_upload.py",
    "tests/browser/test_desk_hands.py",
    "tests/browser/test_desk_clips.py",
    "tests/browser/test_desk_plate.py",
    "tests/browser/test_real_site.py",
    "tests/browser/test_desk_viewport.py",
    "tests/analysis/watch/test_footage.py",
    "tests/browser/test_desk_doubts.py",
    "tests/browser/test_desk_kept.py",
    "tests/browser/test_family.py",
    "tests/browser/test_desk_going.py",
    "tests/browser/test_evaluation.py",
    "tests/house/test_embedded_fronts.py",
    "tests/browser/test_desk_keys.py",
    "tests/house/test_full_set.py",
    "tests/browser/test_marks_alike.py",
    "tests/portal/measuring/test_kill.py",
    "tests/browser/test_whole_way.py",
    "tests/analysis/watch/test_again.py",
    "tests/portal/health/test_run.py",
    "tests/browser/test_desk_accounts.py",
    "tests/portal/measuring/test_real.py",
    "tests/browser/test_desk_sound.py",
    "tests/browser/test_look.py",
    "tests/browser/test_desk_points.py",
    "tests/analysis/read/test_strangers.py",
    "tests/analysis/test_cli.py",
    "tests/browser/test_desk_counting.py",
    "tests/browser/test_desk_compare.py",
    "tests/browser/test_owner_pages.py",
    "tests/browser/test_desk_undo.py",
    "tests/portal/privacy/test_no_trace.py",
    "tests/analysis/watch/test_fuzz.py",
    "tests/portal/health/test_slow_lines.py",
    "tests/browser/test_desk_firefox.py",
    "tests/browser/test_desk_marks.py",
    "tests/portal/outbox/test_worker.py",
    "tests/repeats/test_variants.py",
    "tests/portal/web/test_channel.py",
    "tests/analysis/read/test_film_truth.py",
    "tests/browser/test_desk_words.py",
    "tests/browser/test_privacy.py",
    "tests/browser/test_desk_presses.py",
    "tests/portal/evaluations/test_access_log_carried_over.py",
    "tests/browser/test_mail.py",
    "tests/portal/fuzzing/test_fuzz.py",
    "tests/portal/test_form_address.py",
    "tests/portal/intake/tus/test_kills.py",
    "tests/browser/test_kept_words.py",
    "tests/portal/intake/tus/test_cuts.py",
    "tests/portal/measuring/test_rounds.py",
    "tests/portal/measuring/test_no_swing.py",
    "tests/browser/test_stopwatch.py",
    "tests/portal/look/test_components.py",
    "tests/portal/intake/test_full_disk.py",
    "tests/browser/test_desk_reread.py",
    "tests/portal/desk/test_modules.py",
    "tests/browser/test_queue.py",
    "tests/browser/test_desk_phrases.py",
    "tests/house/test_services.py",
    "tests/portal/test_odd_input.py",
    "tests/browser/test_bands.py",
    "tests/portal/test_private_pages.py",
    "tests/browser/test_signing_out.py",
    "tests/portal/demo/test_making.py",
    "tests/portal/test_every_look.py",
    "tests/films/test_films.py",
    "tests/portal/test_every_url.py",
    "tests/analysis/watch/test_decode.py",
    "tests/analysis/read/test_constants.py",
    "tests/portal/test_disk_full_page.py",
    "tests/browser/test_desk_times.py",
    "tests/portal/evaluations/test_beside.py",
    "tests/browser/test_evaluation_pictures.py",
    "tests/portal/test_dead_redis.py",
    "tests/analysis/watch/test_products.py",
    "tests/browser/test_desk_give.py",
    "tests/portal/outbox/test_sending.py",
)


def longest_first(items: list[pytest.Item]) -> None:
    """Sort in place; tests of one file stay together, and in their order."""
    places = {os.fspath(ROOT / name): place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(os.fspath(item.path), len(places)))
