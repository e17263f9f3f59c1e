"""A film that the whole command measures, once for a run: the tests of the command look at all of it, others need its tracks."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from tests.once import once

ROOT = Path(__file__).resolve().parents[2]
FILM = ROOT / "tests" / "films" / "out" / "rowan_right_chest_uneven.mp4"  # the one with the fewest frames


def rowan() -> Path:
    """The folder with `r.json`, `r.tracks.npz`, `still.png` at contact, the browser's files in `web`, and what was `said`."""
    return once("measured", FILM.stem, _measure)


def _measure(folder: Path) -> None:
    film = later(FILM, folder / "later.mp4")
    command = [sys.executable, "-m", "analysis", "measure", str(film), "--json", str(folder / "r.json")]
    command += ["--tracks", str(folder / "r.tracks.npz"), "--still", "contact", str(folder / "still.png")]
    command += ["--products", str(folder / "web")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    (folder / "said").write_text(done.stdout)


def later(film: Path, place: Path) -> Path:
    """The same film as one that begins at 1,000 s in its file, as of a longer recording; as it is where ffmpeg is missing."""
    if shutil.which("ffmpeg") is None:
        return film
    shift = ["ffmpeg", "-v", "error", "-i", str(film), "-c", "copy", "-output_ts_offset", "1000", str(place)]
    subprocess.run(shift, check=True)
    return place
