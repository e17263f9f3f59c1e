"""Clips by number: who does what, where, and from where it is seen; drawn, watched by the pose model, and kept with the truth.

Only the square around the body is drawn, at the sharpness it would have in a phone's film; the landmark network then reads it
frame by frame as `analysis.watch` does, each frame in the region that the frame before it showed. Where a larger square is drawn
(`SIDE_WITH_BAT`), the bat is looked for in it, too, as watching does.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from analysis.read.lift import JOINTS
from tests.films import scene
from tests.films.body import Body
from tests.films.camera import Camera, look_at
from tests.films.clothes import Outfit, dress
from tests.films.scene import Place
from tests.films.solids import Light

from . import people, recorded
from .acts import Held, Waggled, act_of
from .deeds import deed_of
from .flail_swing import flail_swing
from .marks import Marks
from .movers import Free, Mixed, Moment, Mover, Recorded, Swing, swing_of
from .numbers import DEEDS, DRIVEN, HABITS, LANDINGS, LAST, LEANS, PATHS, SEQUENCES, THROUGH
from .paint_shop import Customer
from .painter import Figure, Painter
from .path_swing import path_swing
from .sequence_swing import sequence_swing

__all__ = ["SIDE", "SIDE_WITH_BAT", "Clip", "Studio", "Watched", "clip", "height_error"]

SIDE = 384  # of the drawn square, px
MARGIN = 1.45  # of the body's largest extent
SIDE_WITH_BAT = 512  # as sharp, with as much more about it as a bat takes that is held up
HEIGHT_SD = 0.08  # of `height_error`
# Clips to fit to from this number on are short, so that the same work shows more of them, and mix what was recorded.
SHORT_FROM = 2500
JUDGE_LATER = 3000  # judging clips from here on show people whom those before do not show
# Among these are acts that are no swing, swings of every tempo, and cameras held higher, lower and less level.
WIDE = {
    "fit": (range(8000, LAST),),
    "later": (range(26000, LAST),),
    "tune": (range(1000, LAST),),
    "calibrate": (range(1000, LAST),),
    "judge": (range(1001, JUDGE_LATER), range(4000, LAST)),
}
SEEDS = {"fit": 1, "later": 1, "tune": 2, "judge": 3, "calibrate": 4}


@dataclass(frozen=True)
class Clip:
    """Everything about a clip.

    ``use`` is fit, later (to fit to, too), tune, calibrate or judge; ``kind`` swing, recorded, free or act; ``act`` its name;
    ``times`` [F] seconds from the mover's zero
    """

    number: int
    use: str
    kind: str
    person: int
    mover: Mover
    camera: Camera
    mirrored: bool
    origin: np.ndarray
    azimuth: float  # of the camera about the hitter, degrees from the line to the pitcher toward the chest side
    times: np.ndarray
    shutter_s: float
    outfit: Outfit
    place: Place
    light: Light
    quality: int
    noise: float
    net: float
    size: tuple[int, int]
    act: str = ""


def clip(number: int, use: str) -> Clip:
    """The clip of a number; the same number gives the same clip."""
    if any(number in numbers for numbers in WIDE[use]):
        return _wide_clip(number, use)
    rng = np.random.default_rng([SEEDS[use], number])
    person = int(rng.choice(np.array(_people(number, use))))
    body = people.person(person)
    fitting = use in people.FITTING
    short = fitting and number >= SHORT_FROM
    others = [1.0, 0.0, 0.0] if use == "calibrate" else [0.8, 0.2, 0.0]
    shares = ([0.5, 0.3, 0.2] if short else [0.62, 0.23, 0.15]) if fitting else others
    kind = str(rng.choice(["swing", "recorded", "free"], p=shares))
    whole = not fitting and kind == "swing"
    fps = float(rng.choice([30.0, 60.0, 60.0])) if fitting else 60.0
    mover: Mover
    if kind == "swing":
        contact = 1.75
        mover = swing_of(body, rng, contact, float(rng.uniform(0.2, 1.8 if short else 1.3)))
        start = 0.15 if whole else contact - (0.80 if fps > 40 else 1.55)
        count = 145 if whole else 60
    else:
        count, start = 60, 0.0
        trials = recorded.names(_recorded_people(use))
        if kind == "free":
            mover = Free(body, rng)
        elif short and rng.random() < 0.8:
            mover = Mixed(_recorded(body, trials, rng), _recorded(body, trials, rng), rng)
        else:
            mover = _recorded(body, trials, rng)
    if short:
        count = 34 if fps > 40 else 26
        start = contact + float(rng.uniform(-1.1, -0.35)) if kind == "swing" else 0.0
    camera, size, azimuth = _camera(rng, body.height)
    mirrored = bool(rng.random() < 0.5)
    origin = np.zeros(3)
    if kind == "swing":  # beside the plate, as far from it as the bat reaches
        origin = np.array([rng.normal(-0.1, 0.1), 0.0, rng.normal(-0.5, 0.05) * body.height])
        camera = replace(camera, place=camera.place + origin * [1, 1, -1 if mirrored else 1])
    return Clip(
        number, use, kind, person, mover, camera, mirrored, origin, azimuth,
        start + np.arange(count) / fps, 1 / float(rng.uniform(90, 1000)), _outfit(rng), _place(rng), _light(rng),
        int(rng.integers(30, 92)), float(rng.uniform(0, 5)), float(rng.uniform(0.2, 0.6)) if rng.random() < 0.15 else 0.0, size,
    )  # fmt: skip


def _wide_clip(number: int, use: str) -> Clip:
    rng = np.random.default_rng([10 + SEEDS[use], number])
    person = int(rng.choice(np.array(_people(number, use))))
    body = people.person(person)
    landing = np.random.default_rng([30 + SEEDS[use], number]) if number >= LANDINGS else None
    habits = np.random.default_rng([50 + SEEDS[use], number]) if number >= HABITS else None
    through = np.random.default_rng([70 + SEEDS[use], number]) if number >= THROUGH else None
    leans = np.random.default_rng([80 + SEEDS[use], number]) if number >= LEANS else None
    shares = [1.0, 0.0, 0.0] if use == "calibrate" or landing else [0.42, 0.43, 0.15]
    kind = str(rng.choice(["swing", "act", "recorded"], p=shares))
    fitting = use in people.FITTING
    fps = float(rng.choice([30.0, 60.0, 60.0])) if fitting else 60.0
    contact, loose, act = 1.75, float(rng.uniform(0.2, 2.0)), ""
    mover: Mover
    if number >= DEEDS:
        kind = "act"
        act, mover = deed_of(body, np.random.default_rng([90 + SEEDS[use], number]))
    elif number >= SEQUENCES:
        mover = _by_another_hand(number, use, body, contact)
    elif kind == "swing":
        waggles = fitting and rng.random() < 0.4
        swing = swing_of(
            body, rng, contact, loose, tempo=True, kind=Waggled if waggles else None, landing=landing, habits=habits,
            through=through, leans=leans,
        )  # fmt: skip
        if isinstance(swing, Waggled):
            swing.size, swing.way, swing.hz = (
                1.0,
                rng.normal(0, 1, 3) * [0.09, 0.04, 0.05],
                float(rng.uniform(0.6, 2.2)),
            )
        mover = swing
    elif kind == "act":
        act, mover = act_of(body, rng, contact, loose)
    else:
        trials = recorded.names(_recorded_people(use))
        mover = _recorded(body, trials, rng)
        if fitting and rng.random() < 0.7:
            mover = Mixed(_recorded(body, trials, rng), _recorded(body, trials, rng), rng)
    start, count = (0.15, 145) if not fitting else (float(rng.uniform(0.15, 1.0)), 80)
    if fitting and fps < 40:
        count = 55
    if fitting and through and number < SEQUENCES:  # short, and about what is new in them
        start, count = float(rng.uniform(0.7, 1.35)), 64 if fps > 40 else 34
    if kind in ("recorded", "free"):
        start, count = 0.0, min(count, 100)
    camera, size, azimuth = _camera(rng, body.height, level=bool(rng.random() < 0.5))
    mirrored = bool(rng.random() < 0.5)
    origin = np.zeros(3)
    if kind != "recorded":
        origin = np.array([rng.normal(-0.1, 0.1), 0.0, rng.normal(-0.5, 0.05) * body.height])
        camera = replace(camera, place=camera.place + origin * [1, 1, -1 if mirrored else 1])
    return Clip(
        number, use, kind, person, mover, camera, mirrored, origin, azimuth,
        start + np.arange(count) / fps, 1 / float(rng.uniform(90, 1000)), _outfit(rng), _place(rng), _light(rng),
        int(rng.integers(30, 92)), float(rng.uniform(0, 5)), float(rng.uniform(0.2, 0.6)) if rng.random() < 0.15 else 0.0, size, act,
    )  # fmt: skip


def _by_another_hand(number: int, use: str, body: Body, contact: float) -> Swing:
    """A swing by rules of another hand, told by its number."""
    rng = np.random.default_rng([90 + SEEDS[use], number])
    made = flail_swing if number >= DRIVEN else path_swing if number >= PATHS else sequence_swing
    return made(body, rng, contact)


def from_elsewhere(wish: Clip, view: int) -> Clip:
    """The same motion as a clip shows before another camera, the hitter left- or right-handed."""
    rng = np.random.default_rng([95, SEEDS[wish.use], wish.number, view])
    camera, size, azimuth = _camera(rng, wish.mover.body.height, level=bool(rng.random() < 0.5))
    mirrored = bool(rng.random() < 0.5)
    camera = replace(camera, place=camera.place + wish.origin * [1, 1, -1 if mirrored else 1])
    return replace(wish, camera=camera, size=size, azimuth=azimuth, mirrored=mirrored)


def _people(number: int, use: str) -> range:
    """Whom a clip shows: one of these."""
    if use == "judge":
        return people.JUDGING_LATER if number >= JUDGE_LATER else people.JUDGING
    return {
        "fit": people.FITTED, "later": people.FITTED_LATER, "tune": people.TUNING, "calibrate": people.CALIBRATING,
    }[use]  # fmt: skip


def _recorded_people(use: str) -> tuple[str, ...]:
    if use in people.FITTING:
        return recorded.FITTED
    return recorded.JUDGING if use == "judge" else recorded.TUNING


def _recorded(body: Body, trials: list[str], rng: np.random.Generator) -> Recorded:
    trial = recorded.trial(str(rng.choice(trials)))
    return Recorded(body, trial, float(rng.uniform(0, max(trial.seconds - 2.2, 0.01))), float(rng.uniform(-180, 180)))


def _camera(rng: np.random.Generator, height: float, level: bool = True) -> tuple[Camera, tuple[int, int], float]:
    """Where a parent may stand: mostly near one of the four sides, 3.5 to 14 m away, the hitter anywhere in the picture."""
    draw = rng.random()
    if draw < 0.56:
        azimuth = rng.choice([90.0, -90.0]) + rng.normal(0, 14)
    elif draw < 0.80:
        azimuth = rng.choice([0.0, 180.0]) + rng.normal(0, 14)
    else:
        azimuth = rng.uniform(-180, 180)
    far = float(np.exp(rng.uniform(np.log(3.4), np.log(14))))
    around = np.radians(azimuth)
    stands = float(rng.uniform(0.5, 2.1) if level else rng.uniform(0.3, 1.2 + 0.25 * far))
    at = (far * np.cos(around), stands, far * np.sin(around))
    size = (1280, 720) if rng.random() < 0.7 else (720, 1280)
    if rng.random() < 0.4:
        size = (size[0] * 3 // 2, size[1] * 3 // 2)
    # Standing height in the picture as a share of its height, at the widest focal lengths that give it.
    share = rng.uniform(0.30, 0.80) if size[0] > size[1] else rng.uniform(0.25, 0.6)
    focal = share * size[1] * far / height
    focal = float(np.clip(focal, 0.75 * max(size), 3.2 * max(size)))
    angle = float(np.degrees(2 * np.arctan(size[0] / 2 / focal)))
    aside = np.array([-np.sin(around), 0, np.cos(around)])
    room = 0.5 * size[0] / focal * far - 0.55 * height
    off = aside * rng.uniform(-1, 1) * max(room, 0.0) * 0.8
    to = np.array([0, 0.53 * height + rng.normal(0, 0.08) * height, 0]) + off
    return look_at(at, tuple(to), angle, size, float(rng.normal(0, 1.6 if level else 4.0))), size, float(azimuth)


def height_error(number: int) -> float:
    """How far watching's idea of a standing height, the trunk's, is off: the same through a clip; a logarithm."""
    return float(np.random.default_rng([91, number]).normal(0, HEIGHT_SD))


def _quickest(mover: Mover) -> list[float]:
    """About when a bat is so quick that it blurs, seconds."""
    swing = mover.swing if isinstance(mover, Held) else mover
    return [timing.contact for timing in swing.timings] if isinstance(swing, Swing) else []


def _colour(rng: np.random.Generator, low: float = 0.05, high: float = 0.95) -> tuple[float, float, float]:
    grey = rng.uniform(low, high)
    tint = np.clip(grey + rng.normal(0, 0.22 * (rng.random() < 0.7), 3), low, high)
    return (float(tint[0]), float(tint[1]), float(tint[2]))


def _outfit(rng: np.random.Generator) -> Outfit:
    tone = rng.uniform(0, 1)
    skin = np.array([0.90, 0.72, 0.60]) * (1 - tone) + np.array([0.32, 0.20, 0.14]) * tone
    return Outfit(
        skin=tuple(float(v) for v in skin),
        hair=_colour(rng, 0.04, 0.5),
        shirt=_colour(rng),
        sleeves=_colour(rng) if rng.random() < 0.3 else None,
        trousers=_colour(rng),
        socks=_colour(rng),
        shoes=_colour(rng),
        gloves=_colour(rng) if rng.random() < 0.7 else tuple(float(v) for v in skin),
        belt=_colour(rng),
        helmet=_colour(rng),
        trouser_end=float(rng.choice([0.05, 0.45, 0.92, 0.95])),
        sleeve_end=float(rng.uniform(0.5, 0.95)),
        flap=bool(rng.random() < 0.7),
    )


def _place(rng: np.random.Generator) -> Place:
    return Place(
        kind=str(rng.choice(["park", "cage"])),
        clay=_colour(rng, 0.2, 0.7),
        grass=_colour(rng, 0.1, 0.5),
        trees=_colour(rng, 0.08, 0.5),
        wall=_colour(rng, 0.2, 0.8),
        sky=_colour(rng, 0.4, 0.9),
        horizon=_colour(rng, 0.5, 0.95),
        clay_radius=float(rng.uniform(1.5, 6)),
        fence=float(rng.uniform(4.5, 14)),
        fence_height=float(rng.uniform(1.2, 4)),
        seed=int(rng.integers(0, 50)),
        brightness=float(rng.uniform(0.7, 1.25)),
        warmth=float(rng.normal(0, 0.05)),
    )


def _light(rng: np.random.Generator) -> Light:
    sun = rng.normal(0, 0.5, 3)
    sun[1] = rng.uniform(0.35, 1.0)
    strength = float(rng.uniform(0.1, 1.0))
    return Light(
        sun=(float(sun[0]), float(sun[1]), float(sun[2])),
        sun_strength=strength,
        sky_strength=float(rng.uniform(0.25, 0.6)),
        bounce_strength=float(rng.uniform(0.1, 0.3)),
        ambient=float(rng.uniform(0.15, 0.42)),
    )


@dataclass
class Watched:
    """What the pose model saw and what was true; F frames.

    keypoints [F, 33, 2] px, visibility [F, 33], world [F, 33, 3]; joints [F, J, 3] and bat [F, 2, 3] (NaN where there is none),
    metres on the camera's axes (x right, y down, z away); bat_px [F, 2, 2] the line that watching takes for the bat (knob, barrel
    end; NaN where it could not look) and bat_chance [F] the chance that it is, or None where the bat was not looked for
    """

    keypoints: np.ndarray
    visibility: np.ndarray
    world: np.ndarray
    joints: np.ndarray
    bat: np.ndarray
    bat_px: np.ndarray | None = None
    bat_chance: np.ndarray | None = None


class Studio:
    """Draws clips and has them watched."""

    def __init__(self, landmarker: Any, region_of: Callable[..., Any], painter: Painter | Customer) -> None:
        self.painter = painter
        self.landmarker, self.region_of = landmarker, region_of

    def film(self, wish: Clip, keep: list[np.ndarray] | None = None) -> Watched:
        """Draw and watch a clip; pictures go into ``keep`` when it is given."""
        rng = np.random.default_rng([77, wish.number])
        body = wish.mover.body
        marks = Marks(body)
        length = float(getattr(wish.mover, "bat_length", 0.8))
        figure = Figure.of(
            body, dress(body, wish.outfit), length, rng.uniform(0.05, 0.95, 3), rng.uniform(0.05, 0.95, 3)
        )
        self.painter.take(figure, wish.light)
        moments = [wish.mover.moment(float(time)) for time in wish.times]
        flip = np.array([1.0, 1.0, -1.0 if wish.mirrored else 1.0])
        joints = (np.array([marks.at(m.rotations, m.places) for m in moments]) + wish.origin) * flip
        origin = wish.origin
        if wish.kind in ("recorded", "free"):  # keep wanderers near the middle of the picture
            middle = joints[:, :2].mean(axis=(0, 1)) * [1, 0, 1]
            joints = joints - middle
            origin = -middle * flip
        if wish.mirrored:
            swap = [
                k + 1 if name.startswith("left_") else k - 1 if name.startswith("right_") else k
                for k, name in enumerate(JOINTS)
            ]
            joints = joints[:, swap]
        camera = wish.camera
        seen = joints @ camera.rotation.T + camera.shift
        bat = np.array(
            [
                np.full((2, 3), np.nan)
                if m.bat is None
                else (np.stack(m.bat) + origin) * flip @ camera.rotation.T + camera.shift
                for m in moments
            ]
        )
        crop = self._crop(camera.project(joints))
        behind = self._behind(wish, crop)
        out = Watched(*(np.full((len(moments), *shape), np.nan) for shape in ((33, 2), (33,), (33, 3))), seen, bat)
        region = self._first(camera.project(joints[0]))
        sides = [region.side]
        scale = self.painter.side / crop[2]
        looked = [] if self.painter.side > SIDE and keep is None else keep
        for k, picture in enumerate(self._pictures(wish, moments, crop, behind, origin, rng)):
            if looked is not None:
                looked.append(picture)
            where = self.region_of((region.x - crop[0]), (region.y - crop[1]), region.side, region.turn)
            pose = self.landmarker.read(picture, scale, where)
            if k == 0:
                where = self.region_of(pose.region.x, pose.region.y, pose.region.side, pose.region.turn)
                pose = self.landmarker.read(picture, scale, where)
            out.keypoints[k] = pose.keypoints_px + np.array([crop[0], crop[1]])
            out.visibility[k], out.world[k] = pose.visibility, pose.world_m
            sides.append(pose.region.side)
            region = self.region_of(
                pose.region.x + crop[0], pose.region.y + crop[1], float(np.median(sides[-15:])), pose.region.turn
            )
        if looked is None or self.painter.side <= SIDE:
            return out
        away = seen[:, :2, 2].mean()
        height = body.height * camera.matrix[0, 0] / away
        bat_px, chance = self._bat(wish, looked, scale, out.keypoints - np.array(crop[:2]), height)
        return replace(out, bat_px=bat_px + np.array(crop[:2]), bat_chance=chance)

    def _bat(
        self, wish: Clip, pictures: list[np.ndarray], scale: float, keypoints: np.ndarray, height: float
    ) -> tuple[np.ndarray, np.ndarray]:
        """The bat as watching finds it: lines [F, 2, 2], px of the square, and their chances [F]."""
        from analysis.watch.background import Background
        from analysis.watch.batwatch import BatWatcher

        still = np.eye(3)
        background = Background(scale)
        for picture in pictures:
            background.add(picture if background.wants() else None)
        told = height * float(np.exp(height_error(wish.number)))
        watcher = BatWatcher(told, background.backdrop(np.repeat(still[None], len(pictures), 0)))
        middle = np.nanmedian(keypoints[:, [23, 24]], axis=(0, 1))
        body = self.region_of(float(middle[0]), float(middle[1]), 1.1 * height, 0.0)
        for k, (time, picture) in enumerate(zip(wish.times, pictures, strict=True)):
            watcher.take(k, float(time), np.ascontiguousarray(picture), scale, body, still, keypoints[k])
        return watcher.lines(len(pictures))

    def _crop(self, points: np.ndarray) -> tuple[float, float, float]:
        low, high = points.min(axis=(0, 1)), points.max(axis=(0, 1))
        middle = (low + high) / 2
        side = float((high - low).max() * MARGIN + 20)
        side = max(side, 64.0) * max(self.painter.side / SIDE, 1.0)
        return float(middle[0] - side / 2), float(middle[1] - side / 2), side

    def _first(self, points: np.ndarray) -> Any:
        hips = points[:2].mean(axis=0)
        top = points[[16, 17]].mean(axis=0)
        side = 2.5 * float(np.linalg.norm(points - hips, axis=1).max())
        x, y = top - hips
        return self.region_of(float(hips[0]), float(hips[1]), side, float(np.arctan2(x, -y)))

    def _behind(self, wish: Clip, crop: tuple[float, float, float]) -> np.ndarray:
        """RGB float [side, side, 3] of the field in the crop; black beyond the frame's edge."""
        half = self.painter.side // 2
        scale = half / crop[2]
        matrix = wish.camera.matrix.copy()
        matrix[:2, 2] -= [crop[0], crop[1]]
        matrix[:2] *= scale
        small = Camera(matrix, wish.camera.rotation, wish.camera.place, (half, half))
        y, x = np.mgrid[0:half, 0:half].astype(float)
        look = scene._look(wish.place, small, np.stack([x + 0.5, y + 0.5], -1))
        tint = np.array([1 + wish.place.warmth, 1.0, 1 - wish.place.warmth]) * wish.place.brightness
        field = np.clip(look * tint, 0, 1)
        big = np.asarray(
            Image.fromarray((field * 255).astype(np.uint8)).resize((2 * half, 2 * half), Image.Resampling.BICUBIC)
        )
        return big.astype(np.float32) / 255

    def _pictures(
        self,
        wish: Clip,
        moments: list[Moment],
        crop: tuple[float, float, float],
        behind: np.ndarray,
        origin: np.ndarray,
        rng: np.random.Generator,
    ) -> Iterator[np.ndarray]:
        """RGB uint8 [side, side, 3] for each moment, in order."""
        wanted: list[tuple[Moment, bool]] = []
        counts = []
        for moment, time in zip(moments, wish.times, strict=True):
            parts = [moment]
            if any(abs(time - quick) < 0.12 for quick in _quickest(wish.mover)):
                count = 4 if wish.shutter_s > 1 / 300 else 2
                parts = [
                    wish.mover.moment(float(time) + (n + 0.5 - count / 2) / count * wish.shutter_s)
                    for n in range(count)
                ]
            counts.append(len(parts))
            wanted += [(part, False) for part in parts] + [(moment, True)]
        drawn = self.painter.draw(wanted, wish.camera, wish.mirrored, origin, crop)
        for count in counts:
            total = np.zeros((self.painter.side, self.painter.side, 4), np.float32)
            for _ in range(count):
                total += next(drawn)
            total /= 255 * count
            shade = gaussian_filter(next(drawn)[..., 3].astype(np.float32) / 255, 1.5) * 0.6 * wish.light.sun_strength
            cover = total[..., 3:]
            picture = behind * (1 - shade[..., None]) * (1 - cover) + total[..., :3] * wish.place.brightness
            if wish.net:
                picture = picture * (1 - self._net(wish, crop)[..., None])
            yield self._through_phone(wish, np.clip(picture, 0, 1), crop, rng)

    def _net(self, wish: Clip, crop: tuple[float, float, float]) -> np.ndarray:
        """A net between phone and hitter."""
        side = self.painter.side
        y, x = np.mgrid[0:side, 0:side] * (crop[2] / side)
        mesh = 14 + wish.number % 30
        off = np.minimum(np.abs(((x + y) / mesh) % 1 - 0.5), np.abs(((x - y) / mesh) % 1 - 0.5)) * mesh
        return np.clip(1.2 - off, 0, 1) * wish.net

    def _through_phone(
        self, wish: Clip, picture: np.ndarray, crop: tuple[float, float, float], rng: np.random.Generator
    ) -> np.ndarray:
        """The picture at the film's own sharpness, with noise and as a codec leaves it; black beyond the frame."""
        side = self.painter.side
        own = int(min(side, max(48, round(crop[2]))))
        image = Image.fromarray((picture * 255).astype(np.uint8)).resize((own, own), Image.Resampling.BOX)
        values = np.asarray(image, np.float32) + rng.normal(0, wish.noise, (own, own, 1)).astype(np.float32)
        store = io.BytesIO()
        Image.fromarray(np.clip(values, 0, 255).astype(np.uint8)).save(store, "JPEG", quality=wish.quality)
        done = np.array(Image.open(store).resize((side, side), Image.Resampling.BILINEAR))
        scale = self.painter.side / crop[2]
        left, top = int(max(0, -crop[0] * scale)), int(max(0, -crop[1] * scale))
        right, bottom = (
            int(min(side, (wish.size[0] - crop[0]) * scale)),
            int(min(side, (wish.size[1] - crop[1]) * scale)),
        )
        edge = np.zeros_like(done)
        edge[top:bottom, left:right] = done[top:bottom, left:right]
        return edge
