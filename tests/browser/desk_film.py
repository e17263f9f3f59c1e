"""A clip on the desk whose every frame carries its number, with the products that measuring really makes of it."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from analysis.read import read
from analysis.tracks import Tracks
from portal.camps.models import Camp
from portal.desk.models import Review
from portal.intake.states import State
from portal.measuring import door
from portal.measuring.models import Measurement, Stage
from portal.people.models import User
from tests.browser.chromium import PATIENCE_S
from tests.films.numbered import frame_times, write_clip
from tests.once import once
from tests.portal import conftest as people
from tests.products import write_products
from tests.servers import wait_until

INSTANTS = ("set_up", "load", "foot_down", "swing_start", "contact", "extension", "finish")

# In the page: the number that the picture in the viewport carries, read off the canvas as tests/films/numbered.py reads it.
READ_NUMBER = """
window.numberShown = () => {
  const { viewport } = window.desk.film;
  const { scale, x, y } = viewport.view;
  const [w, h, r] = [viewport.clip.width * scale, viewport.clip.height * scale, devicePixelRatio];
  const ink = viewport.canvas.getContext("2d");
  // one look at the canvas for each of the two rows: many small ones take longer than drawing
  const [left, wide] = [Math.round(x * r), Math.round(w * r)];
  const rows = [0.85, 0.95].map((share) => ink.getImageData(left, Math.round((y + h * share) * r), wide, 1).data);
  let code = 0;
  for (let i = 0; i < 20; i++) {
    const p = 4 * Math.round((wide * (i + 0.5)) / 20);
    const [above, below] = rows.map((row) => row[p] + row[p + 1] + row[p + 2]);
    if (Math.abs(above - below) < 180) return -1;
    code = code * 2 + (above > below ? 1 : 0);
  }
  const [number, check] = [code >> 4, code & 15];
  const right = (number & 15) ^ ((number >> 4) & 15) ^ ((number >> 8) & 15) ^ ((number >> 12) & 15) ^ 10;
  return check === right ? number : -1;
};
"""

# In the page: many steps and jumps over the film; resolves to how many frames were drawn and what was wrong among them.
WALK = """
window.walk = async (steps, seed) => {
  const { film } = window.desk;
  film.viewport.fit("whole"); // the number stands along the whole lower edge
  const count = film.reel.count;
  const told = { drawn: 0, wrong: [] };
  film.reel.addEventListener("shown", ({ detail }) => {
    told.drawn++;
    const number = window.numberShown();
    if (number !== detail.frame) told.wrong.push([detail.frame, number]);
  });
  const dice = () => (seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  for (let step = 0, at = 0; step < steps; step++) {
    const by = [-1, 1, 1, -10, 10][Math.floor(dice() * 5)];
    at = step % 3 ? Math.max(0, Math.min(count - 1, at + by)) : Math.floor(dice() * count);
    if (!(await film.goTo(at))) told.wrong.push([at, null]);
  }
  return told;
};
"""

# Asked inside the page: a question from outside, fifty times a second, takes a tenth of a core.
HOLDS = """async (seconds) => {
  const end = performance.now() + 1000 * seconds;
  while (!(document.body && EXPRESSION)) {
    if (performance.now() > end) return false;
    await new Promise((go) => setTimeout(go, 10));
  }
  return true;
}"""


def until(page: Any, expression: str, seconds: float = PATIENCE_S) -> None:
    """Wait for an expression of the page to hold, also over a change of page. (Playwright's own waiting evaluates text,
    which the policy forbids.)
    """
    assert wait_until(lambda: _holds(page, expression, seconds), seconds), expression


def _holds(page: Any, expression: str, seconds: float) -> bool:
    from playwright.sync_api import Error

    try:
        return bool(page.evaluate(HOLDS.replace("EXPRESSION", f"({expression})"), seconds))
    except Error as error:
        if "context was destroyed" not in str(error):
            raise
        return False


def write_film(*, frames: int, size: tuple[int, int], fps: float, jitter: float) -> tuple[Path, dict[str, Any]]:
    """A clip with one swing over its middle; gives the folder of its products and the result JSON that goes with them."""

    def make(folder: Path) -> None:
        times = write_clip(
            folder / "clip.mp4", frames=frames, fps=fps, size=size, times=frame_times(frames, fps, jitter), b_frames=2
        )
        tracks = empty_tracks(times, size, fps)
        _write_all(folder, tracks, one_swing(tracks, frames // 5, frames * 4 // 5))

    return _made(f"plain-{frames}-{size[0]}x{size[1]}-{fps}-{jitter}", make)


def write_read_film(tracks: Tracks, sound: Any = None) -> tuple[Path, dict[str, Any]]:
    """Products and result of tracks that hold a swing, over a clip of numbered frames; gives the folder and the result."""

    def make(folder: Path) -> None:
        size = (tracks.clip["width"], tracks.clip["height"])
        write_clip(folder / "clip.mp4", frames=tracks.frames, fps=tracks.clip["nominal_fps"], size=size, sound=sound)
        _write_all(folder, tracks, read(tracks).to_json())

    return _made(f"read-{sha256(pickle.dumps((tracks, sound))).hexdigest()}", make)


def _write_all(folder: Path, tracks: Tracks, result: dict[str, Any]) -> None:
    write_products(folder / "clip.mp4", tracks, result, folder / "products")
    tracks.save(folder / "products" / "tracks.npz")
    (folder / "result.json").write_text(json.dumps(result))


def _made(name: str, make: Callable[[Path], None]) -> tuple[Path, dict[str, Any]]:
    """The products in the run's own folder and their result, by the first worker that asks for the film. Nobody changes them."""
    folder = once("films", name, make)
    return folder / "products", json.loads((folder / "result.json").read_text())


def empty_tracks(times: Any, size: tuple[int, int], fps: float) -> Tracks:
    """Tracks of a clip in which a hitter stands still in the middle of the picture."""
    count, (width, height) = len(times), size
    facts = {
        "name": "numbered.mp4", "sha256": "0" * 64, "width": width, "height": height, "rotation": 0, "codec": "h264",
        "container": "mp4", "frames": count, "duration_s": float(times[-1]), "nominal_fps": fps, "measured_fps": fps,
        "variable_rate": True, "capture_fps": None, "has_sound": False,
    }  # fmt: skip
    keypoint = np.arange(33)
    still = np.stack([width / 2 + 2.0 * (keypoint % 5), height * (0.1 + 0.02 * keypoint)], axis=1)
    box = [width * 0.4, height * 0.1, width * 0.6, height * 0.75]
    return Tracks(
        clip=facts, watch={"version": 1}, time_s=np.asarray(times), keypoints_px=np.tile(still, (count, 1, 1)),
        visibility=np.ones((count, 33)), world_m=np.zeros((count, 33, 3)), box_px=np.tile(box, (count, 1)),
        camera=np.tile(np.eye(3), (count, 1, 1)), bat_px=np.full((count, 2, 2), np.nan),
        bat_confidence=np.zeros(count), ball_px=np.full((count, 2), np.nan),
    )  # fmt: skip


def one_swing(tracks: Tracks, first: int, last: int) -> dict[str, Any]:
    """The reading of tests/portal/measured.json, its swing laid over frames first..last of this clip."""
    result = json.loads((Path(__file__).resolve().parent.parent / "portal" / "measured.json").read_text())
    result["clip"] = tracks.clip
    swing = result["swings"][0]
    swing["start_frame"], swing["end_frame"] = first, last
    for place, name in enumerate(INSTANTS):
        frame = first + (last - first) * (place + 1) // 8
        time = float(tracks.time_s[frame])
        swing["instants"][name].update(frame=frame, time_s=time, interval_s=[time - 0.01, time + 0.01])
    count = last - first + 1
    rise = [round(float(value), 3) for value in np.hanning(count)]
    swing["traces"] = {
        "frame": list(range(first, last + 1)), "time_s": tracks.time_s[first : last + 1].tolist(),
        "hands_speed": rise, "front_foot_speed": rise[::-1], "sound": [0.0] * count,
    }  # fmt: skip
    return result


def coach_with_film(folder: Path, result: dict[str, Any]) -> tuple[User, Review]:
    """A coach who has begun the review of a submission with this film; call with a database at hand."""
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp", place="Lindholt")
    camp.coaches.add(coach)
    guardian = people.make_user("lea@example.org", "Lea Sandvall")
    player = people.make_player(camp, guardian, last_name="Sandvall")
    submission = people.make_submission(player, camp, State.IN_REVIEW, reviewer=coach)
    clip = people.make_clip(submission)
    for path in folder.iterdir():
        default_storage.save(f"{clip.folder}/{path.name}", ContentFile(path.read_bytes()))
    tracks = f"{clip.folder}/tracks.npz"
    now = {**result, "read_with": {"method": door.METHOD, "book": door.BOOK, "bands": 0}}
    Measurement.objects.create(clip=clip, stage=Stage.DONE, products=clip.folder, tracks=tracks, **door.kept(now))
    return coach, Review.objects.create(submission=submission, clip=clip)
