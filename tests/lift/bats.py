"""Draw clips of bats by number, with where both ends truly are: what the bat's network is fitted to and judged by.

    python -m tests.lift.bats USE FIRST LAST --out FOLDER [--processes N] [--painters P]

USE is fit, tune or judge, as everywhere in this room. More of the field is drawn than for the lift, so that arms and bat have room;
shutters are slow, cameras shake, posts and ropes stand in the field and somebody moves about in it; every fourth film shows no bat.
"""

from __future__ import annotations

import argparse
import io
import multiprocessing
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from tests.films.clothes import dress

from .clips import Clip, Studio, clip
from .marks import Marks
from .movers import Moment, Swing
from .paint_shop import Customer, open_shop
from .painter import Figure

__all__ = ["WIDE", "Seen", "draw", "load", "save"]

SIDE = 480  # of the drawn square, px
WIDE = 2.4  # of the standing height: side of the drawn square
FIRST_NUMBER = 20_000  # of these clips, so that none is one of the lift's
PARTS = 6  # moments that a blurred picture is made of
SPREAD = 8  # further pictures of the clip, from which the still background is taken


@dataclass(frozen=True)
class Seen:
    """A watched clip; F frames, places in px of the drawn square.

    ``pictures`` [F, SIDE, SIDE, 3]; ``others`` of the same clip at other times; ``keypoints`` [F, 33, 2]; ``bat`` [F, 2, 2] knob and
    barrel end, NaN where there is none; ``steps`` [F, 2] how far the camera has turned away since the first frame as following it
    tells; ``height`` standing, px
    """

    number: int
    use: str
    kind: str
    person: int
    azimuth: float
    height: float
    times: np.ndarray
    pictures: np.ndarray
    others: np.ndarray
    keypoints: np.ndarray
    visibility: np.ndarray
    bat: np.ndarray
    steps: np.ndarray
    blur: float


def draw(number: int, use: str, studio: Studio) -> Seen:
    """Draw and watch the clip of a number."""
    rng = np.random.default_rng([{"fit": 41, "tune": 42, "judge": 43}[use], number])
    wish = replace(
        clip(FIRST_NUMBER + number, use), shutter_s=float(np.exp(rng.uniform(np.log(1 / 900), np.log(1 / 60))))
    )
    wish = replace(wish, times=_times(wish, rng))
    others = _spread(wish, rng)
    moments = [wish.mover.moment(float(t)) for t in wish.times]
    whole = replace(wish, times=np.concatenate([wish.times, others]))
    moments += [wish.mover.moment(float(t)) for t in others]
    count = len(wish.times)
    marks, body = Marks(wish.mover.body), wish.mover.body
    flip = np.array([1.0, 1.0, -1.0 if wish.mirrored else 1.0])
    joints = np.array([marks.at(m.rotations, m.places) for m in moments]) + wish.origin
    origin = wish.origin
    if wish.kind != "swing":
        middle = joints[:, :2].mean(axis=(0, 1)) * [1, 0, 1]
        joints, origin = joints - middle, -middle
    points = wish.camera.project(joints * flip)
    bat = np.array([np.full((2, 3), np.nan) if m.bat is None else (np.stack(m.bat) + origin) * flip for m in moments])
    ends = wish.camera.project(bat)
    away = (wish.camera.rotation @ (joints * flip)[0, :2].mean(axis=0) + wish.camera.shift)[2]
    height = float(body.height * wish.camera.matrix[1, 1] / away)
    hips = points[:count, :2].mean(axis=(0, 1))
    side = WIDE * height
    crop = (float(hips[0] - side / 2), float(hips[1] - 0.05 * height - side / 2), side)
    # The film's own sharpness: now and then as coarse as a messenger leaves it.
    fine = float(np.exp(rng.uniform(np.log(100), np.log(200)))) if rng.random() < 0.35 else height
    scale = SIDE / crop[2]
    steps = _shake(rng, len(whole.times))
    length = wish.mover.bat_length if isinstance(wish.mover, Swing) else 0.8
    figure = Figure.of(body, dress(body, wish.outfit), length, rng.uniform(0.03, 0.97, 3), rng.uniform(0.03, 0.97, 3))
    studio.painter.take(figure, wish.light)
    behind = _furnished(studio._behind(whole, crop), rng)
    walker = _walker(rng)
    pictures = []
    for k, picture in enumerate(
        _pictures(studio, whole, moments, crop, behind, origin * flip if wish.kind != "swing" else origin, walker)
    ):
        own = int(min(SIDE, max(48, round(WIDE * min(fine, height)))))
        pictures.append(_phone(wish, picture, own, steps[k], rng))
    keypoints, visibility = _watched(studio, pictures[:count], points[:count] - crop[:2], scale, steps)
    told = steps - steps[0]
    told = told + np.cumsum(rng.normal(0, 0.1, told.shape), axis=0) * (np.abs(steps).max() > 0)
    ends = (ends[:count] - crop[:2]) * scale + steps[:count, None]
    return Seen(
        number, use, wish.kind, wish.person, wish.azimuth, height * scale, wish.times, np.array(pictures[:count]),
        np.array(pictures[count:]), keypoints, visibility, ends, told[:count], wish.shutter_s,
    )  # fmt: skip


def _times(wish: Clip, rng: np.random.Generator) -> np.ndarray:
    fps = 30.0 if rng.random() < 0.4 else 60.0
    if wish.kind != "swing":
        return np.arange(14) / fps
    contact = wish.mover.timings[0].contact  # type: ignore[attr-defined]
    shift = float(rng.uniform(0, 1 / fps))
    if fps == 30.0:
        return contact + shift + np.arange(-20, 12) / fps
    early = contact - float(rng.uniform(0.45, 0.9))
    return np.concatenate([early + np.arange(7) / fps, contact + shift + np.arange(-18, 16) / fps])


def _spread(wish: Clip, rng: np.random.Generator) -> np.ndarray:
    if wish.kind != "swing":
        return np.linspace(0.3, 1.9, SPREAD)
    contact = wish.mover.timings[0].contact  # type: ignore[attr-defined]
    return contact + np.linspace(-1.5, 0.75, SPREAD)


def _shake(rng: np.random.Generator, count: int) -> np.ndarray:
    """Where the camera points in each frame [F, 2], px."""
    if rng.random() < 0.5:
        return np.zeros((count, 2))
    return np.cumsum(np.cumsum(rng.normal(0, 0.08, (count, 2)), axis=0) * 0.3 + rng.normal(0, 0.4, (count, 2)), axis=0)


def _furnished(behind: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """The field with posts, ropes, boards and bats on the fence."""
    out = np.ascontiguousarray(behind.astype(np.float32))
    for _ in range(int(rng.poisson(5))):
        start = rng.uniform(0, SIDE, 2)
        angle = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)]) + rng.normal(0, 0.03)
        long = rng.choice([rng.uniform(40, 130), 2.0 * SIDE])
        end = start + long * np.array([np.cos(angle), np.sin(angle)])
        tone = np.clip(rng.uniform(0, 1) + rng.normal(0, 0.15, 3), 0, 1)
        cv2.line(out, _whole(start), _whole(end), tone.tolist(), int(rng.integers(1, 9)), cv2.LINE_AA)
    if rng.random() < 0.5:
        grain = cv2.resize(rng.normal(0, 0.12, (SIDE // 6, SIDE // 6, 3)).astype(np.float32), (SIDE, SIDE))
        out = out + grain
    return np.clip(out, 0, 1)


def _walker(rng: np.random.Generator) -> dict[str, Any] | None:
    """Somebody or something long and thin that moves in the field, or nothing."""
    if rng.random() < 0.6:
        return None
    return {
        "at": rng.uniform(0.1, 0.9, 2) * SIDE, "speed": rng.normal(0, 60, 2), "turn": rng.uniform(0, np.pi), "rate": rng.normal(0, 3),
        "long": rng.uniform(30, 140), "wide": int(rng.integers(4, 30)), "tone": rng.uniform(0, 1, 3).tolist(),
    }  # fmt: skip


def _whole(point: np.ndarray) -> list[int]:
    return [int(value) for value in np.round(point)]


def _pictures(
    studio: Studio, wish: Clip, moments: list[Moment], crop: tuple[float, float, float], behind: np.ndarray, origin: np.ndarray,
    walker: dict[str, Any] | None,
) -> Iterator[np.ndarray]:  # fmt: skip
    """RGB 0..1 for each moment, blurred by the shutter where anything is fast."""
    wanted, counts = [], []
    for moment, at in zip(moments, wish.times, strict=True):
        parts = [moment]
        if isinstance(wish.mover, Swing):
            near = abs(at - wish.mover.timings[0].contact) < 0.16
            count = PARTS if near and wish.shutter_s > 1 / 350 else 3 if near and wish.shutter_s > 1 / 700 else 1
            if count > 1:
                parts = [
                    wish.mover.moment(float(at) + ((n + 0.5) / count - 0.5) * wish.shutter_s) for n in range(count)
                ]
        counts.append(len(parts))
        wanted += [(part, False) for part in parts] + [(moment, True)]
    drawn = studio.painter.draw(wanted, wish.camera, wish.mirrored, origin, crop)
    net = studio._net(wish, crop)[..., None] if wish.net else None
    for count, at in zip(counts, wish.times, strict=True):
        total = np.zeros((SIDE, SIDE, 4), np.float32)
        for _ in range(count):
            total += next(drawn)
        total /= 255 * count
        shade = gaussian_filter(next(drawn)[..., 3].astype(np.float32) / 255, 1.5) * 0.6 * wish.light.sun_strength
        field = behind
        if walker is not None:
            field, since = behind.copy(), at - wish.times[0]
            middle, turn = walker["at"] + walker["speed"] * since, walker["turn"] + walker["rate"] * since
            half = walker["long"] / 2 * np.array([np.cos(turn), np.sin(turn)])
            cv2.line(field, _whole(middle - half), _whole(middle + half), walker["tone"], walker["wide"], cv2.LINE_AA)
        picture = field * (1 - shade[..., None]) * (1 - total[..., 3:]) + total[..., :3] * wish.place.brightness
        yield np.clip(picture if net is None else picture * (1 - net), 0, 1)


def _phone(wish: Clip, picture: np.ndarray, own: int, step: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """As a phone and a codec leave it, at its own sharpness."""
    move = np.array([[1, 0, step[0]], [0, 1, step[1]]], np.float64)
    moved = cv2.warpAffine(
        (picture * 255).astype(np.uint8), move, (SIDE, SIDE), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    small = cv2.resize(moved, (own, own), interpolation=cv2.INTER_AREA).astype(np.float32)
    small = np.clip(small + rng.normal(0, wish.noise, (own, own, 1)), 0, 255).astype(np.uint8)
    store = io.BytesIO()
    Image.fromarray(small).save(store, "JPEG", quality=wish.quality)
    return np.array(Image.open(store).resize((SIDE, SIDE), Image.Resampling.BILINEAR))


def _watched(
    studio: Studio, pictures: list[np.ndarray], points: np.ndarray, scale: float, steps: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    keypoints, visibility = np.full((len(pictures), 33, 2), np.nan), np.full((len(pictures), 33), np.nan)
    region = studio._first(points[0] * scale + steps[0])
    sides = [region.side]
    for k, picture in enumerate(pictures):
        pose = studio.landmarker.read(picture, 1.0, region)
        if k == 0:
            pose = studio.landmarker.read(picture, 1.0, pose.region)
        keypoints[k], visibility[k] = pose.keypoints_px, pose.visibility
        sides.append(pose.region.side)
        region = studio.region_of(pose.region.x, pose.region.y, float(np.median(sides[-15:])), pose.region.turn)
    return keypoints, visibility


def save(path: Path, seen: Seen) -> None:
    """Write a watched clip; its pictures as JPEG."""
    held = {name: value for name, value in vars(seen).items() if name not in ("pictures", "others")}
    stores = {}
    for name in ("pictures", "others"):
        parts = [
            cv2.imencode(".jpg", p[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 93])[1].ravel() for p in getattr(seen, name)
        ]
        stores[name] = np.concatenate(parts)
        stores[f"{name}_ends"] = np.cumsum([len(part) for part in parts])
    part = path.with_suffix(".part.npz")
    np.savez(part, **held, **stores)
    part.replace(path)


def load(path: Path) -> Seen:
    """Read a watched clip."""
    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    for name in ("pictures", "others"):
        parts = np.split(data[name], data.pop(f"{name}_ends")[:-1])
        data[name] = np.array([cv2.imdecode(part, cv2.IMREAD_COLOR)[..., ::-1] for part in parts])
    return Seen(**{name: value.item() if value.ndim == 0 else value for name, value in data.items()})


def _work(wish: argparse.Namespace, number: int, asked: Any, bell: Any) -> None:
    from analysis.watch.models import find_model
    from analysis.watch.pose import Landmarker
    from analysis.watch.region import Region

    from .painter import Painter

    painter = Painter(SIDE) if asked is None else Customer(SIDE, number, asked, bell)
    studio = Studio(Landmarker(find_model("heavy")), Region, painter)
    for which in range(wish.first + number, wish.last + 1, wish.processes):
        path = wish.out / f"bat-{wish.use}-{which:05d}.npz"
        if path.exists():
            continue
        if time.time() > wish.until:
            break
        try:
            save(path, draw(which, wish.use, studio))
        except Exception as error:  # a body that cannot take a pose leaves one clip out
            print(f"{wish.use} {which}: {type(error).__name__}: {error}", flush=True)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Draw clips of bats by number.")
    parser.add_argument("use", choices=["fit", "tune", "judge"])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--painters", type=int, default=0, help="processes that draw for the others")
    parser.add_argument("--seconds", type=float, default=1e9, help="stop early: what is written until then counts")
    wish = parser.parse_args()
    wish.until = time.time() + wish.seconds
    wish.out.mkdir(parents=True, exist_ok=True)
    shop, queues, bells = open_shop(SIDE, wish.painters, wish.processes)
    context = multiprocessing.get_context("spawn")
    workers = []
    for n in range(wish.processes):
        asked = queues[n % len(queues)] if queues else None
        workers.append(context.Process(target=_work, args=(wish, n, asked, bells[n])))
        workers[-1].start()
    for worker in workers:
        worker.join()
    for queue in queues:
        queue.put(None)
    for process in shop:
        process.join(10)
    print(f"{len(list(wish.out.glob(f'bat-{wish.use}-*.npz')))} clips", flush=True)


if __name__ == "__main__":
    main()
