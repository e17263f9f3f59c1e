"""The whole way: judged clips become rows, rows become a page with its plots."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import lru_cache
from itertools import islice
from pathlib import Path

import pytest

from analysis.validate.clips import SAMPLE, about, files_of, judge_clip, thinned
from analysis.validate.curve import curve, reach, reach_of_instants, times_curve
from analysis.validate.judged import Counted, Judged, Timed, Told
from analysis.validate.page import renewed
from analysis.validate.plots import draw
from analysis.validate.real import real_clips
from analysis.validate.tables import (
    calls,
    counts,
    fewer_frames,
    instants,
    more_seen,
    planted,
    readings,
    silent_from_the_side,
)
from tests.lift.store import load

PAGE = Path(__file__).parents[3] / "analysis" / "VALIDATION.md"
BAND = (15.0, 50.0)


@lru_cache(maxsize=1)
def by_hand() -> Judged:
    """Four readings from a side, of which one is off by 20 and one is not readable; a false and a right swing."""
    told = [
        Told(n, "side", 60, "down_front_knee", truth, value, (value - 6, value + 6) if value else None, BAND, call)
        for n, (truth, value, call) in enumerate(
            [(30.0, 31.0, "in range"), (40.0, 39.0, "in range"), (62.0, 42.0, "in range"), (30.0, None, "not readable")]
        )
    ]
    timed = [Timed(n, "side", 60, "contact", off, 1.0) for n, off in enumerate([0.5, -0.5, 2.0])]
    timed.append(Timed(3, "side", 60, "contact", None, None))
    counted = [Counted(0, "side", 60, "swing", 1, 1, True), Counted(1, "side", 60, "walking", 1, 0, None)]
    return Judged(told, timed, counted)


def cells(table: str, *start: str) -> list[str]:
    """The cells of the row that begins so."""
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()]
    return next(row for row in rows if tuple(row[: len(start)]) == start)


def test_a_row_of_readings_by_hand() -> None:
    row = cells(readings(by_hand().told), "down_front_knee, °", "side")
    # Errors 1, -1, -20: bias -6.7, mean size 7.3. Two of three hold. Scores 12, 12, 12 + 20 * 14. Band 35 wide.
    assert row[2:7] == ["60", "4", "25%", "-6.7", "7.3"]
    assert row[8].startswith("67% (9%–99%)")
    assert row[9:13] == ["–", "105.3", "6.0", "0.34"]  # three are too few for fifths


def test_a_row_of_instants_by_hand() -> None:
    row = cells(instants(by_hand().timed), "Contact", "side")
    assert row[2:9] == ["60", "4", "75%", "0.7", "1.0", "0.5", "67%"]
    assert row[9] == "100%"
    assert row[10].startswith("67%")


def test_swings_that_are_none_are_false() -> None:
    table = counts(by_hand().counted)
    assert cells(table, "swing")[4].startswith("100%")
    assert cells(table, "walking", "side")[5:8] == ["0", "1", "0"]


def test_calls_of_sound_swings_and_of_faults() -> None:
    table = calls(by_hand().told)
    assert cells(table, "in its band", "side")[2:] == ["3", "67%", "0%", "0%", "33%"]
    assert cells(table, "1 to 2 × beyond", "side")[2:] == ["1", "100%", "0%", "0%", "0%"]  # 62 is two times 6 above 50
    assert cells(silent_from_the_side(by_hand().told), "down_front_knee")[1] == "3"


def test_planted_faults_count_what_was_not_readable_as_not_said() -> None:
    row = cells(planted(by_hand().told), "down_front_knee", "side")
    # Two times the half-width: said of both exact ones from both ends, of the one that is off from one end, of the last not.
    assert (row[2], row[6]) == ("4", "62%")
    assert row[8] == "83%"


@pytest.mark.slow
def test_plots_are_drawn_alike_every_time(tmp_path: Path) -> None:
    for folder in ("one", "two"):
        draw(by_hand(), tmp_path / folder)
    for file in (tmp_path / "one").iterdir():
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes()


def test_half_of_the_pictures_beside_all_of_them() -> None:
    few = [row for row in by_hand().told for _ in range(10)]
    row = cells(fewer_frames(few, few[10:]), "down_front_knee, °", "side")
    assert row[2:] == ["40 → 30", "25% → 33%", "7.3 → 10.5", "1.0 → 10.5", "67% → 50%", "6.0 → 6.0"]
    assert "down_front_knee" not in fewer_frames(few, few[:29])


def test_what_goes_by_the_line_is_told_with_a_plate_in_sight() -> None:
    knees, hips = by_hand().told * 10, [replace(row, name="down_hips_square") for row in by_hand().told * 10]
    surer = [replace(row, interval=(row.value - 4, row.value + 4)) if row.value else row for row in hips]
    table = more_seen([*knees, *hips], [*knees, *surer])
    assert cells(table, "down_hips_square, °", "side")[7] == "6.0 → 4.0"
    assert "knee" not in table


def test_a_thinned_clip_has_every_second_picture() -> None:
    clip = next(load(files_of(SAMPLE)[0]))
    half = thinned(clip, 2)
    assert half.times == pytest.approx(clip.times[::2])
    assert len(half.keypoints) == len(half.world) == len(half.visibility) == len(half.joints) == len(half.times)


def test_the_page_says_which_clips_it_is_about() -> None:
    assert about(files_of(SAMPLE)) == (38, "53 clips numbered 0 to 264", False)


def test_the_learning_curve_has_a_row_for_each_number_of_clips(tmp_path: Path) -> None:
    kept = tmp_path / "curve.json"
    assert curve(kept) is None
    points = [{"clips": n, "frames": 40 * n, "errors": {"knees": 900 / n, "hips": 2000 / n}} for n in (90, 180)]
    kept.write_text(json.dumps({"how": "Fitted alike.", "points": points}))
    how, told = curve(kept) or ("", "")
    assert how == "Fitted alike."
    assert cells(told, "180") == ["180", "7200", "5.0", "11.1"]


def test_the_learning_curve_of_instants_has_a_row_for_each_number_of_swings(tmp_path: Path) -> None:
    kept = tmp_path / "times.json"
    assert times_curve(kept) is None
    points = [{"swings": n, "within": {"foot_down within 1, side": n / 1000}} for n in (580, 830)]
    kept.write_text(json.dumps({"how": "Fitted alike.", "points": points}))
    how, told = times_curve(kept) or ("", "")
    assert how == "Fitted alike."
    assert cells(told, "830") == ["830", "83%"]


@pytest.mark.slow
def test_a_judged_clip_becomes_rows() -> None:
    clips = islice((clip for clip in load(files_of(SAMPLE)[0]) if clip.kind == 0), 3)
    judged = [judge_clip(clip) for clip in clips]
    assert all(len(each.counted) == 1 and each.counted[0].wanted == 1 for each in judged)
    read = next(each for each in judged if each.told)
    assert {row.rate for row in read.told} == {60}
    assert sum(row.read for row in read.told) >= 5
    assert len(read.timed) == 7


def test_the_plots_that_the_page_shows_lie_beside_it() -> None:
    text = PAGE.read_text()
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)
    assert len(shown) == 6
    assert all((PAGE.parent / name).is_file() for name in shown)
    assert "## A real person before four cameras" in text
    assert sum((PAGE.parent / name).stat().st_size for name in shown) < 400_000


def test_sections_of_real_people_are_renewed_by_themselves() -> None:
    """What they say of real clips is what was read of them; the rest of the page stays as it is."""
    text = PAGE.read_text()
    stale = text.replace("### Planted faults", "### Kept").replace("balance_1", "gone")
    again = renewed(stale)
    assert again.replace("### Kept", "### Planted faults") == text


def test_a_page_without_real_clips_gets_them_behind_the_four_cameras() -> None:
    text = PAGE.read_text()
    start, end = (text.index(head) for head in ("## Real clips", "## What more people bring"))
    assert renewed(text[:start] + text[end:]) == text


def test_real_clips_are_told_one_by_one_and_in_all() -> None:
    clips, instants, totals = real_clips()
    assert cells(clips, "cage_back_side")[4:7] == ["2", "2", "0"]
    assert cells(clips, "two_people_1")[4:7] == ["0", "0", "0"]
    assert "62 ± 1" in cells(instants, "cage_back_side", "1", "contact")
    assert totals.startswith("Of 2 swings 2 are found; false ones: 0. Of 9 clips without a swing 9 are read as such.")


def test_what_better_keypoints_would_bring_has_a_row_for_each_part_of_the_errors(tmp_path: Path) -> None:
    kept = tmp_path / "reach.json"
    assert reach(kept) is None
    assert reach_of_instants(kept) is None
    told = [
        {"errors": 0.25, "learned body": True, "told": {"knees": 5.1}},
        {"errors": 0.0, "learned body": False, "told": {"knees": 3.0}},
    ]
    kept.write_text(json.dumps({"how": "Moved.", "points": told}))
    how, table = reach(kept) or ("", "")
    assert how == "Moved."
    assert [cells(table, part) for part in ("25%", "0%")] == [["25%", "yes", "5.1"], ["0%", "no", "3.0"]]
    shares = [{"errors": 0.5, "within": {"foot down within 1, side": 0.81}}]
    kept.write_text(json.dumps({"how": "Moved.", "points": shares}))
    assert cells((reach_of_instants(kept) or ("", ""))[1], "50%") == ["50%", "81%"]
    drawn = [{"told": "true bodies", "within": {"foot down within 1, side": 0.92}}]
    kept.write_text(json.dumps({"how": "Moved.", "points": shares, "how_drawn": "Drawn.", "drawn": drawn}))
    told = (reach_of_instants(kept) or ("", ""))[1]
    assert "Drawn." in told
    assert cells(told, "true bodies") == ["true bodies", "92%"]
