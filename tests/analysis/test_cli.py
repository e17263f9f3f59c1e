"""The command line: what it says, where it says it, and its exit status."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from analysis.cli import main
from analysis.progress import JsonProgress
from analysis.read import read
from analysis.tracks import Tracks, load
from analysis.watch.errors import ClipError
from tests.analysis.measured import rowan
from tests.films.numbered import write_clip

ROOT = Path(__file__).resolve().parents[2]


def test_wrong_usage_is_status_two(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in ([], ["measure"], ["dance"], ["measure", "a.mp4", "--model", "huge"]):
        with pytest.raises(SystemExit) as ended:
            main(arguments)
        assert ended.value.code == 2
    assert "usage" in capsys.readouterr().err


def test_an_unknown_instant_lists_the_choices(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["measure", "a.mp4", "--still", "lunch", "x.png"]) == 2
    assert "set_up, load, foot_down" in capsys.readouterr().err


def test_unreadable_corrections_are_wrong_usage(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    broken = tmp_path / "c.json"
    broken.write_text("{")
    assert main(["measure", "a.mp4", "--corrections", str(broken)]) == 2
    assert "c.json can't be read" in capsys.readouterr().err


@pytest.mark.slow
def test_a_clip_that_cannot_be_measured_says_why_on_stderr_alone(tmp_path: Path) -> None:
    path = tmp_path / "swing.mp4"
    path.write_text("not a film")
    done = subprocess.run(
        [sys.executable, "-m", "analysis", "measure", str(path)], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 1
    assert done.stdout == ""
    assert "not a video that we can open" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_failures_are_json_lines_when_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "swing.mp4"
    path.touch()
    assert main(["measure", str(path), "--progress-json"]) == 1
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert lines[0] == {"stage": "opening", "done": 0, "total": 1}
    assert lines[-1]["error"]["code"] == "empty"


def test_progress_is_told_in_order_and_not_too_often(capsys: pytest.CaptureFixture[str]) -> None:
    progress = JsonProgress()
    for done in range(1000):
        progress("finding", done, 1000)
    progress("watching", 1, 2)
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [line["stage"] for line in lines][:1] == ["finding"]
    assert lines[-1] == {"stage": "watching", "done": 1, "total": 2}
    assert len(lines) < 50


@pytest.mark.slow
def test_a_film_without_people_is_refused_kindly(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from analysis.watch.models import ModelError, find_model

    try:
        find_model("heavy")
    except ModelError as error:
        pytest.skip(str(error))
    path = tmp_path / "empty_field.mp4"
    write_clip(path, frames=20, size=(320, 240))
    assert main(["measure", str(path), "--progress-json"]) == 1
    error = json.loads(capsys.readouterr().out.splitlines()[-1])["error"]
    assert error["code"] == "nobody"
    assert "whole body" in error["words"]


def test_reading_again_needs_no_video_library(tmp_path: Path) -> None:
    code = (
        "import sys, analysis.cli\n"
        "heavy = {'cv2', 'av', 'mediapipe', 'ai_edge_litert', 'django'} & set(sys.modules)\n"
        "sys.exit(str(heavy) if heavy else 0)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_the_parts_of_scipy_wait_for_a_reading() -> None:
    """Every process of a site loads `analysis.read`, and few ever read: SciPy's parts would take it most of two seconds."""
    code = (
        "import sys, analysis.read\n"
        "early = {'scipy.signal', 'scipy.stats', 'scipy.ndimage', 'scipy.optimize', 'scipy.linalg'} & set(sys.modules)\n"
        "sys.exit(str(early) if early else 0)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_watching_loads_no_filters_or_statistics_of_scipy() -> None:
    """A second and a half of CPU in every process that measures; the one filter that watching needs is written out in `sound.py`."""
    code = (
        "import sys, analysis.watch.run\n"
        "idle = {'scipy.signal', 'scipy.stats', 'scipy.interpolate', 'scipy.optimize'} & set(sys.modules)\n"
        "sys.exit(str(idle) if idle else 0)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_tracks_that_are_none_are_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "x.tracks.npz"
    path.write_bytes(b"nothing")
    assert main(["read", str(path)]) == 1
    assert capsys.readouterr().err


def test_an_error_is_its_words() -> None:
    assert str(ClipError("empty", "This file is empty.")) == "This file is empty."


@pytest.mark.films
def test_a_film_is_measured_from_end_to_end_wherever_its_times_begin(tmp_path: Path) -> None:
    folder = rowan()
    result, tracks, still = folder / "r.json", folder / "r.tracks.npz", folder / "still.png"
    assert "Contact" in (folder / "said").read_text()
    measured = json.loads(result.read_text())
    assert measured["schema"] == 1
    assert len(measured["swings"]) == 1
    assert still.stat().st_size > 20_000
    assert (folder / "web" / "review.mp4").is_file()
    again = tmp_path / "again.json"
    assert main(["read", str(tracks), "--json", str(again)]) == 0
    assert json.loads(again.read_text()) == measured
    reads_as_the_film_from_nought(measured["swings"][0]["instants"], load(tracks))


def reads_as_the_film_from_nought(instants: dict[str, Any], tracks: Tracks) -> None:
    """Against the kept tracks of the film: the same times of frames, and instants of a sure film at the same frames."""
    kept = load(ROOT / "tests" / "analysis" / "read" / "data" / "rowan_right_chest_uneven.tracks.npz")
    assert tracks.time_s == pytest.approx(kept.time_s, abs=0.002)
    for name in ("foot_down", "contact"):
        instant = read(kept).swings[0].instants[name]
        assert abs(instants[name]["frame"] - instant.frame) <= 1, name
        assert instants[name]["time_s"] == pytest.approx(tracks.time_s[instants[name]["frame"]], abs=0.04), name
