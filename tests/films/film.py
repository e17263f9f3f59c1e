"""One film: who hits, how, where and who films it; and the play of it in the field at any time."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import numpy as np

from .body import Body, build_body
from .camera import Camera, look_at
from .clothes import Outfit
from .manner import Manner, Timing
from .motion import Motion
from .props import BALL_RADIUS, SWEET_SPOT
from .scene import Place
from .skeleton import Skeleton
from .solids import Light
from .stance import Posed

__all__ = ["CACHE", "Bystander", "Film", "Play"]

CACHE = Path(__file__).parent / "cache"  # cache of built bodies; not in version control
MIRROR = np.array([1.0, 1.0, -1.0])
GRAVITY = np.array([0.0, -9.81, 0.0])


@dataclass(frozen=True)
class Bystander:
    """Somebody who stands and watches, ``at`` x and z, looking ``yaw`` degrees from +z toward +x."""

    shape: dict[str, float]
    outfit: Outfit
    at: tuple[float, float]
    yaw: float


@dataclass(frozen=True)
class Film:
    """What the generator needs to know. Times in seconds, lengths in metres, the camera in field axes."""

    name: str
    person: str  # child or adult
    hand: str  # right or left
    view: str
    shape: dict[str, float]
    timings: tuple[Timing, ...]
    camera_at: tuple[float, float, float]
    camera_to: tuple[float, float, float]
    camera_angle: float = 56.0
    camera_roll: float = 0.0
    fps: float = 60.0
    uneven: float = 0.0  # share of half a frame interval by which frame times jump, as phones do
    seconds: float = 4.0
    size: tuple[int, int] = (1280, 720)
    outfit: Outfit = field(default_factory=Outfit)
    manner: Manner = field(default_factory=Manner)
    place: Place = field(default_factory=Place)
    light: Light = field(default_factory=lambda: Light(sun=(0.3, 0.8, 0.55)))
    bat_length: float = 0.84
    bat_colour: tuple[float, float, float] = (0.78, 0.58, 0.34)
    bat_tape: tuple[float, float, float] = (0.10, 0.09, 0.09)
    toss: float | None = None  # speed of a tossed ball, m/s; None = the ball lies on a tee
    ball_speed: float = 33.0
    launch: float = 14.0  # degrees above the horizontal
    shutter_s: float = 1 / 200
    wobble: float = 0.0  # hand-held: degrees
    bystander: Bystander | None = None
    quality: int = 24
    sound: bool = True
    seed: int = 1


class Play:
    """The film's people and things in field axes, at any time."""

    def __init__(self, film: Film) -> None:
        self.film = film
        self.body: Body = build_body(film.shape, CACHE)
        self.skeleton = Skeleton(self.body, film.bat_length)
        self.motion = Motion(self.skeleton, film.manner, list(film.timings), film.seconds)
        self._place_hitter()

    @property
    def left_handed(self) -> bool:
        """A left-handed hitter is the mirror image of the right-handed motion."""
        return self.film.hand == "left"

    def _place_hitter(self) -> None:
        """Stand so that the ball is hit over the plate's middle line, about level with its front edge."""
        posed = self.skeleton.pose(self.motion.stance(self.film.timings[0].contact))
        wished = np.array([0.08, 0.0, -0.02])
        self.origin = np.zeros(3)
        self.origin = (wished - self._ball_on(posed, self.film.timings[0].contact)) * [1, 0, 1]

    def _ball_on(self, posed: Posed, contact: float) -> np.ndarray:
        """Centre of the ball when the sweet spot touches it, before mirroring, hitter's axes plus origin."""
        axis = (posed.barrel - posed.knob) / self.film.bat_length
        later = self.skeleton.pose(self.motion.stance(contact + 0.002))
        way = (later.barrel - posed.barrel) / 0.002
        way = way - axis * (way @ axis)
        spot = posed.barrel - axis * SWEET_SPOT
        return spot + way / np.linalg.norm(way) * (BALL_RADIUS + 0.033) + self.origin

    def posed(self, time: float) -> Posed:
        """The hitter in right-handed axes around the hitter's own origin."""
        return self.skeleton.pose(self.motion.stance(time))

    def to_field(self, points: np.ndarray) -> np.ndarray:
        """Field coordinates of points in the right-handed hitter's axes."""
        moved = points + self.origin
        return moved * MIRROR if self.left_handed else moved

    @cached_property
    def meetings(self) -> list[np.ndarray]:
        """Centre of the ball at each contact, field axes."""
        spots = [self._ball_on(self.posed(t.contact), t.contact) for t in self.film.timings]
        return [spot * MIRROR if self.left_handed else spot for spot in spots]

    def ball(self, time: float) -> np.ndarray | None:
        """Centre of the ball in field axes, or None while there is none to see."""
        for number, swing in enumerate(self.film.timings):
            spot, since = self.meetings[number], time - swing.contact
            if since >= 0 and (number + 1 == len(self.film.timings) or since < 1.0):
                up = np.radians(self.film.launch)
                away = self.film.ball_speed * np.array(
                    [np.cos(up) * 0.985, np.sin(up), 0.12 * (-1 if self.left_handed else 1)]
                )
                return spot + away * since + GRAVITY * since**2 / 2 if since < 1.0 else None
            if since < 0:
                return self._before(spot, since)
        return None

    def _before(self, spot: np.ndarray, since: float) -> np.ndarray | None:
        if self.film.toss is None:
            return spot
        # Tossed so that it falls slightly at contact.
        speed = np.array([-self.film.toss, -1.2, 0.0])
        return spot + speed * since + GRAVITY * since**2 / 2 if since > -0.75 else None

    @cached_property
    def camera(self) -> Camera:
        """The camera without wobble."""
        film = self.film
        return look_at(film.camera_at, film.camera_to, film.camera_angle, film.size, film.camera_roll)

    def frame_times(self) -> np.ndarray:
        """Presentation times [F] in seconds, multiples of 1/90000 s."""
        film = self.film
        count = round(film.seconds * film.fps)
        shift = np.random.default_rng(film.seed).uniform(-film.uneven / 2, film.uneven / 2, count)
        shift[0] = 0
        return np.rint((np.arange(count) + shift) / film.fps * 90_000) / 90_000

    def wobbled(self, time: float) -> np.ndarray:
        """Homography [3,3] from the still camera's pixels to the pixels of the hand-held one at ``time`` (a pure turn)."""
        if not self.film.wobble:
            return np.eye(3)
        w, p = np.radians(self.film.wobble), 2 * np.pi * time
        yaw = w * (np.sin(0.37 * p + 0.4) + 0.4 * np.sin(1.13 * p))
        pitch = w * (0.8 * np.sin(0.29 * p + 1.9) + 0.35 * np.sin(1.47 * p + 0.7))
        roll = w * 0.5 * np.sin(0.23 * p + 2.2)
        spin = _spin(pitch, 0) @ _spin(yaw, 1) @ _spin(roll, 2)
        k = self.camera.matrix
        return k @ spin @ np.linalg.inv(k)


def _spin(angle: float, axis: int) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    a, b = (axis + 1) % 3, (axis + 2) % 3
    out = np.eye(3)
    out[a, a] = out[b, b] = c
    out[a, b], out[b, a] = -s, s
    return out
