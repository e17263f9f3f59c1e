"""What a body does over time, as a rotation and a place for every bone: swings, recorded motion, joints moved at random.

Axes are those of the right-handed hitter in the field: x toward the pitcher, y up, z toward the plate. A mover's feet stand
at y = 0 somewhere near the origin.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Protocol

import numpy as np

from tests.films.body import Body
from tests.films.manner import Manner, Timing
from tests.films.motion import Motion
from tests.films.skeleton import Skeleton
from tests.films.stance import FootPose, Stance
from tests.films.turning import about, shortest, turn, unit

from .marks import Marks
from .recorded import Trial

__all__ = ["Chain", "Free", "Mixed", "Moment", "Mover", "Recorded", "Swing", "swing_of"]

SOLE = 0.012  # thickness of a shoe's sole, metres


@dataclass(frozen=True)
class Moment:
    """Rotations [B, 3, 3], places [B, 3], and the bat's knob and barrel end, or None."""

    rotations: np.ndarray
    places: np.ndarray
    bat: tuple[np.ndarray, np.ndarray] | None


class Mover(Protocol):
    """Anything that moves a body."""

    body: Body

    def moment(self, time: float) -> Moment:
        """The body at ``time``, seconds."""


class Waves:
    """Slow smooth changes at random: a steady part and two waves for each of ``count`` numbers, about 1 strong together."""

    def __init__(self, rng: np.random.Generator, count: int, fastest_hz: float = 1.2) -> None:
        self.steady = rng.normal(0, 0.8, count)
        self.strength = rng.normal(0, 0.4, (2, count))
        self.slowdown = rng.uniform(0.1, fastest_hz, (2, count)) * 2 * np.pi
        self.phase = rng.uniform(0, 2 * np.pi, (2, count))

    def __call__(self, time: float) -> np.ndarray:
        return self.steady + (self.strength * np.sin(self.slowdown * time + self.phase)).sum(axis=0)

    def over(self, times: np.ndarray) -> np.ndarray:
        """The numbers [F, N] at times [F]."""
        waves = self.strength * np.sin(self.slowdown * times[:, None, None] + self.phase)
        return np.asarray(self.steady + waves.sum(axis=1))


class Swing:
    """A swing through key poses, in which every wish is moved a little away from the key poses' habits."""

    # How far a wish may be moved (one deviation), degrees or metres at 1.78 m.
    LOOSE = {
        "pelvis_yaw": 7.0, "pelvis_lean": 6.0, "pelvis_side": 4.0, "chest_yaw": 8.0, "face_yaw": 8.0, "face_down": 7.0,
        "front_knee_out": 9.0, "rear_knee_out": 9.0,
    }  # fmt: skip

    def __init__(
        self, body: Body, manner: Manner, timings: list[Timing], seconds: float, rng: np.random.Generator, loose: float
    ) -> None:
        self.body, self.loose = body, loose
        self.bat_length = float(np.clip(rng.normal(0.46, 0.03) * body.height, 0.56, 0.89))
        self.skeleton = Skeleton(body, self.bat_length)
        self.motion = Motion(self.skeleton, manner, timings, seconds)
        self.timings = timings
        self.waves = Waves(rng, len(self.LOOSE) + 15, 0.35)
        size = self.skeleton.scale
        # Stances are open or closed: where the front foot stands across, before and after the stride.
        self.across = rng.normal(0, 0.05, 2) * size
        self.stance_turn = float(rng.normal(0, 4))

    def moment(self, time: float) -> Moment:
        posed = self.skeleton.pose(self.wish(time))
        return Moment(posed.rotations, posed.places, (posed.knob, posed.barrel))

    def wish(self, time: float) -> Stance:
        """What the body is wished to do at ``time``."""
        return self._loosened(self.motion.stance(time), time)

    def _loosened(self, wish: Stance, time: float) -> Stance:
        size, moves = self.skeleton.scale, self.waves(time) * self.loose
        names = list(self.LOOSE)
        changed = {name: getattr(wish, name) + self.LOOSE[name] * moves[k] for k, name in enumerate(names)}
        rest = moves[len(names) :]
        share = np.clip((time - self.timings[0].load) / max(self.timings[0].down - self.timings[0].load, 0.05), 0, 1)
        z = self.across[0] * (1 - share) + self.across[1] * share
        front, rear = wish.front_foot, wish.rear_foot
        # The middle of the feet's own turn changes slowly and never while they stand: steady parts only.
        steady = self.waves.steady[len(names) :] * self.loose
        changed["front_foot"] = FootPose(
            front.ball + np.array([0, 0, z]), front.yaw + 4 * steady[0] + self.stance_turn, front.heel
        )
        changed["rear_foot"] = FootPose(rear.ball, rear.yaw + 6 * steady[1] + self.stance_turn, rear.heel)
        changed["pelvis"] = (
            wish.pelvis + np.array([0.012, 0.0, 0.02]) * rest[2:5] * size + [0, -0.01 * size * abs(rest[3]), z / 2]
        )
        changed["head"] = wish.head + np.array([0.02, 0.0, 0.03]) * rest[5:8] * size
        changed["grip"] = wish.grip + 0.03 * rest[8:11] * size
        changed["bat"] = unit(wish.bat + 0.08 * rest[11:14])
        changed["front_elbow"] = unit(wish.front_elbow) + 0.22 * rest[[8, 12, 3]]
        changed["rear_elbow"] = unit(wish.rear_elbow) + 0.22 * rest[[10, 4, 13]]
        return replace(wish, **changed)


def swing_of(
    body: Body,
    rng: np.random.Generator,
    contact: float,
    loose: float,
    tempo: bool = False,
    kind: type[Swing] | None = None,
    landing: np.random.Generator | None = None,
    habits: np.random.Generator | None = None,
    through: np.random.Generator | None = None,
    leans: np.random.Generator | None = None,
) -> Swing:
    """A swing of a manner drawn wide, with contact at a given time; with ``tempo`` also quicker and slower ones.

    landing  draws how the front foot lands, apart from the rest; without it all land nearly flat
    habits   draws what hitters do who do not swing after the common description; without it none of that
    through  draws how far they differ at foot down, through contact and after it; without it they hardly do
    leans    says who of them leans toward the pitcher or the catcher and more or less toward the plate; without it nobody does
    """
    knee = rng.uniform(8, 50)
    ranges = {
        "base": (0.36, 0.85), "stride": (0.0, 0.42), "lift": (0.01, 0.32), "hover": (0, 1), "opening": (-5, 72),
        "load_rear_knee": (knee, knee + 18), "down_rear_knee": (22, 66), "down_shift": (-0.12, 0.03),
        "down_rear_knee_out": (-8, 28), "contact_front_knee": (0, 40), "finish_front_knee": (0, 24), "lean": (2, 34),
        "head_drift": (-0.02, 0.14), "face": (50, 92), "hands_back": (0.0, 0.18), "hands_height": (-0.14, 0.12),
        "bat_up": (5, 88), "coil": (-4, 34), "contact_hips": (48, 92), "contact_chest": (34, 72),
        "finish_height": (-0.08, 0.26), "phase": (0, 6), "weight_shift": (-0.03, 0.09), "reach": (-0.06, 0.06),
        "tilt_at_contact": (-42, 0), "heel": (15, 75), "sway": (0.002, 0.014),
    }  # fmt: skip
    manner = Manner(setup_rear_knee=knee, **{name: float(rng.uniform(*between)) for name, between in ranges.items()})
    down = float(rng.uniform(0.12, 0.34))
    timing = Timing(
        contact,
        down_to_contact=down,
        start_to_contact=float(rng.uniform(0.12, 0.24)),
        load_to_down=float(rng.uniform(0.12, 0.42)),
        move_to_load=float(rng.uniform(0.3, 0.8)),
    )
    if tempo:
        timing = replace(
            timing, down_to_contact=float(rng.uniform(0.10, 0.42)), start_to_contact=float(rng.uniform(0.105, 0.30))
        )
    if habits is not None:
        manner, timing = _own_way(manner, timing, habits)
    if through is not None:
        manner = _own_way_through(manner, timing, through, leans)
    if landing is not None:
        manner = _landed(manner, timing.down_to_contact, landing)
    return (kind or Swing)(body, manner, [timing], contact + 0.8, rng, loose)


def _landed(manner: Manner, down_to_contact: float, rng: np.random.Generator) -> Manner:
    """The manner with a front foot that lands on its toe and lets the heel down soon or late, or on its heel."""
    if rng.random() < 0.15:
        return replace(manner, land_heel=float(rng.uniform(-16, -3)), settle=float(rng.uniform(0.03, 0.08)))
    heel = float(rng.uniform(2, 42))
    quickest = 0.02 + heel / 500.0
    settle = float(rng.uniform(quickest, max(min(0.22, down_to_contact), quickest + 0.01)))
    return replace(manner, land_heel=heel, settle=settle)


def _own_way(manner: Manner, timing: Timing, rng: np.random.Generator) -> tuple[Manner, Timing]:
    """The manner and times with habits of the hitter's own: each of ten is there or not."""
    has = rng.random(10) < 0.5

    def draw(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    if has[0]:
        timing = replace(timing, move_to_load=draw(0.5, 1.0))
        manner = replace(manner, tap=min(draw(0.05, 0.22), manner.base - 0.24))
    early = max(timing.start - timing.down, 0.0)
    room = max(min(timing.down, timing.start - 0.045) - timing.load - 0.04, 0.0)
    if has[1]:
        manner = replace(manner, rock=draw(0.01, 0.06), rock_hz=draw(0.5, 1.4), rock_stops=draw(-0.2, 0.25))
    if has[2]:
        back = draw(-120, -76)
        manner = replace(
            manner, hands_wait=min(back + draw(2, 60), -25.0), hands_load=back, load_height=draw(-0.12, 0.12),
            hands_load_late=draw(-0.4 * timing.move_to_load, min(room, 0.2)),
        )  # fmt: skip
    if has[3]:
        manner = replace(manner, bat_wait=draw(-185, -70), bat_wrap=draw(-178, -112))
    if has[4]:
        manner = replace(manner, hips_lead=draw(0.0, min(early, 0.09)), chest_lead=draw(0.0, min(early, 0.05)))
    if has[5]:
        manner = replace(manner, meets=draw(-0.016, 0.016), cast=draw(0.0, 0.14))
    if has[6]:
        timing = replace(timing, contact_to_finish=draw(0.28, 0.64))
    if has[7]:
        manner = replace(manner, lets_go=draw(0.15, 0.55), lets_go_after=draw(0.05, 0.2))
    if has[8]:
        manner = replace(manner, heel_at_down=draw(0, 28), drag=draw(0.0, 0.16))
    if has[9]:
        manner = replace(
            manner,
            head_back=draw(-0.03, 0.12),
            bow=draw(0.5, 1.6),
            hips_side=draw(-6, 20),
            rear_elbow_up=draw(0.0, 1.1),
        )
    return manner, timing


def _own_way_through(
    manner: Manner, timing: Timing, rng: np.random.Generator, leans: np.random.Generator | None
) -> Manner:
    """The manner with other poses at set-up and foot down, through contact and after it: each of eight groups is changed or not,
    and a ninth where hitters may lean.

    Ranges are wide on purpose, about twice those of the common description: values read from a body lean toward what the fit has
    seen, and less where it has seen more.
    """
    has = rng.random(8) < 0.6
    wide: dict[str, dict[str, tuple[float, float]]] = {
        "stance": {"setup_front_foot": (-15, 40), "setup_rear_foot": (-28, 18), "setup_hips": (-18, 22), "setup_chest": (-28, 22)},
        "foot": {"glide": (0.0, 0.16), "opening": (-18, 88), "front_spin": (0, 40), "rear_spin": (0.1, 1.25), "heel": (0, 85)},
        "turn": {"hips_at_down": (-30, 44)},
        "contact": {"contact_hips": (22, 106), "hips_on": (0.0, 2.4), "chest_on": (0.45, 1.4)},
        "trunk": {
            "contact_lean": (-14, 26), "finish_lean": (-14, 20), "weight_shift": (-0.13, 0.14), "weight_at_contact": (-0.06, 0.05),
            "hips_side": (-10, 22),
        },
        "knees": {"contact_front_knee": (0, 58), "finish_front_knee": (0, 52), "rear_knee_on": (0, 22)},
        "arms": {"bent": (0.0, 0.26), "reach": (-0.08, 0.06), "drive": (-0.02, 0.03), "elbow_up_after": (0.0, 1.3)},
        "finish": {
            "finish_height": (-0.30, 0.36), "finish_around": (112, 182), "finish_out": (0.22, 0.46), "finish_bat": (196, 300),
            "finish_bat_up": (-70, 48), "face_at_contact": (-48, 4), "finish_face": (38, 104),
        },
    }  # fmt: skip
    if leans is not None:
        wide["head"] = {
            "head_set": (-0.28, 0.28), "head_down": (-0.15, 0.15), "lean": (-6, 46), "head_back": (-0.06, 0.18), "bow": (0.2, 1.8),
        }  # fmt: skip
        has = np.append(has, leans.random() < 0.85)
    drawn = {name: float(rng.uniform(*between)) for group in wide.values() for name, between in group.items()}
    apart, turned = rng.uniform(-8, 58), rng.uniform(-34, 30)  # of hips and chest, at foot down and at contact
    kept = {name: drawn[name] for there, group in zip(has, wide.values(), strict=True) if there for name in group}
    manner = replace(manner, **kept)
    if has[2]:
        manner = replace(manner, chest_open=float(manner.hips_at_down - apart + 8 + manner.coil))
    if has[3]:
        manner = replace(manner, contact_chest=float(np.clip(manner.contact_hips + turned, 12, 94)))
    if has[2] or has[3]:  # the hips never turn back on their way to the ball
        manner = replace(manner, contact_hips=max(manner.contact_hips, manner.hips_at_down + 12))
    return replace(manner, drive=min(manner.drive, timing.start_to_contact - 0.10))


class Chain:
    """Carries turns of named parts over to all bones of a body."""

    PARTS = {
        "hips": ("root", "pelvis"), "low": ("spine05", "spine04"), "mid": ("spine03",), "chest": ("spine02", "spine01", "breast"),
        "neck": ("neck",),
    }  # fmt: skip

    def __init__(self, body: Body) -> None:
        self.body, self.marks = body, Marks(body)
        self.rows = {name: self._rows(starts) for name, starts in self.PARTS.items()}
        for side in "LR":
            for name, starts in {
                "collar": ("clavicle", "shoulder"), "upper": ("upperarm",), "fore": ("lowerarm",),
                "hand": ("wrist", "metacarpal", "finger"), "thigh": ("upperleg",),
                "shank": ("lowerleg",), "foot": ("foot",), "toes": ("toe",),
            }.items():  # fmt: skip
                self.rows[f"{name}.{side}"] = [k for k in self._rows(starts) if body.bones[k].endswith(f".{side}")]
        self.first_of_head = body.index("head")

    def _rows(self, starts: tuple[str, ...]) -> list[int]:
        return [k for k, bone in enumerate(self.body.bones) if bone.startswith(starts)]

    def rest_way(self, first: str, second: str) -> np.ndarray:
        return unit(self.body.head(second) - self.body.head(first))

    def pose(self, turns: dict[str, np.ndarray], hips_at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Rotations and places, mid-hips at ``hips_at``."""
        body = self.body
        rotations = np.repeat(turns["hips"][None], len(body.bones), 0)
        rotations[self.first_of_head :] = turns["head"]
        for name, rows in self.rows.items():
            if name in turns:
                rotations[rows] = turns[name]
        heads, parents = body.heads, body.parents
        places = np.zeros_like(heads)
        steps = np.einsum("bij,bj->bi", rotations[parents[1:]], heads[1:] - heads[parents[1:]])
        for k in range(1, len(heads)):
            places[k] = places[parents[k]] + steps[k - 1]
        left, right = body.index("upperleg01.L"), body.index("upperleg01.R")
        return rotations, places + hips_at - (places[left] + places[right]) / 2

    def lowest(self, rotations: np.ndarray, places: np.ndarray) -> float:
        """Height of the lowest mark of the feet."""
        return float(self.marks.at(rotations, places)[6:10, 1].min())


ARM_JOINTS = {"upper": ("upperarm01", "lowerarm01"), "fore": ("lowerarm01", "wrist")}
LEG_JOINTS = {"thigh": ("upperleg01", "lowerleg01"), "shank": ("lowerleg01", "foot")}


class Recorded:
    """A recorded trial on another body, from ``start`` seconds of the trial on."""

    def __init__(self, body: Body, trial: Trial, start: float, yaw: float) -> None:
        self.body, self.trial, self.start = body, trial, start
        self.chain = Chain(body)
        self.turned = turn(yaw, "y")
        self.scale = np.linalg.norm(body.head("foot.L") - body.head("upperleg01.L")) / trial.leg_length
        middle = trial.hips(start + 1.0) * [1, 0, 1]
        self.shift = -self.turned @ middle * self.scale
        self.lift = 0.0
        lows = [self.chain.lowest(*self._at(time)) for time in np.linspace(0, 2, 9)]
        self.lift = SOLE - float(np.percentile(lows, 10))

    def turns(self, time: float) -> dict[str, np.ndarray]:
        """World rotation of each part of this body."""
        turns = {name: self.turned @ value for name, value in self.trial.turns(self.start + time).items()}
        chain, trial = self.chain, self.trial
        for limbs in (ARM_JOINTS, LEG_JOINTS):
            for name, (first, second) in limbs.items():
                for side in "LR":
                    rest = chain.rest_way(f"{first}.{side}", f"{second}.{side}")
                    key = f"{name}.{side}"
                    turns[key] = turns[key] @ shortest(rest, trial.rest_ways[key])
        for side in "LR":
            rest = chain.rest_way(f"wrist.{side}", f"finger3-1.{side}")
            turns[f"hand.{side}"] = turns[f"hand.{side}"] @ shortest(rest, trial.rest_ways[f"fore.{side}"])
        return turns

    def _at(self, time: float) -> tuple[np.ndarray, np.ndarray]:
        hips = self.turned @ self.trial.hips(self.start + time) * self.scale + self.shift + [0, self.lift, 0]
        return self.chain.pose(self.turns(time), hips)

    def moment(self, time: float) -> Moment:
        rotations, places = self._at(time)
        return Moment(rotations, places, None)


class Mixed:
    """The legs of one recorded trial under the trunk and arms of another, every joint turned a little further at random.

    Nineteen trials of six people are learned by heart; what is mixed of them and moved on is new each time.
    """

    # How far a part may be turned away from the recording (one deviation), degrees; parts carry those above them along.
    LOOSE = {"thigh": 9.0, "shank": 9.0, "foot": 7.0, "collar": 4.0, "upper": 16.0, "fore": 16.0, "hand": 8.0}
    TRUNK = {"hips": 8.0, "low": 4.0, "mid": 4.0, "chest": 6.0, "head": 9.0}

    def __init__(self, legs: Recorded, trunk: Recorded, rng: np.random.Generator) -> None:
        self.body, self.legs, self.trunk, self.chain = legs.body, legs, trunk, legs.chain
        self.slowdowns = rng.uniform(0.5, 1.4, 2)
        count = 3 * (len(self.TRUNK) + 2 * len(self.LOOSE))
        self.waves, self.loose = Waves(rng, count, 0.8), float(rng.uniform(0.2, 1.5))

    def moment(self, time: float) -> Moment:
        below, above = self.legs.turns(time * self.slowdowns[0]), self.trunk.turns(time * self.slowdowns[1])
        moves = (self.waves(time) * self.loose).reshape(-1, 3)
        aside = {name: _small(size * moves[k]) for k, (name, size) in enumerate(self.TRUNK.items())}
        hips = below["hips"] @ aside["hips"]
        up = hips @ above["hips"].T
        turns = {"hips": hips}
        for name in ("low", "mid", "chest"):
            up = up @ above[name] @ aside[name] @ above[name].T
            turns[name] = up @ above[name]
        turns["neck"], turns["head"] = up @ above["neck"], up @ above["head"] @ aside["head"]
        place = len(self.TRUNK)
        down = hips @ below["hips"].T
        for side in "LR":
            arm, leg = up, down
            for name in ("collar", "upper", "fore", "hand"):
                arm = arm @ _small(self.LOOSE[name] * moves[place])
                turns[f"{name}.{side}"] = arm @ above[f"{name}.{side}"]
                place += 1
            for name in ("thigh", "shank", "foot"):
                leg = leg @ _small(self.LOOSE[name] * moves[place])
                turns[f"{name}.{side}"] = leg @ below[f"{name}.{side}"]
                place += 1
            turns[f"toes.{side}"] = leg @ below[f"toes.{side}"]
        rotations, places = self.chain.pose(turns, np.zeros(3))
        places = places + np.array([0, SOLE - self.chain.lowest(rotations, places), 0])
        return Moment(rotations, places, None)


def _small(degrees: np.ndarray) -> np.ndarray:
    """A turn about an axis as long as its angle, degrees."""
    return about(np.radians(degrees))


class Free:
    """Joints moved slowly at random within what a body can do; the lower foot stands on the ground."""

    def __init__(self, body: Body, rng: np.random.Generator) -> None:
        self.body, self.chain = body, Chain(body)
        self.waves = Waves(rng, 40, 0.9)
        self.yaw = rng.uniform(-180, 180)
        self.together = rng.random() < 0.4
        self.together_at = rng.normal(0, 1, 3)
        self.depth = rng.uniform(0.2, 1.0)

    def moment(self, time: float) -> Moment:
        w = np.tanh(self.waves(time) * 0.6) / 0.6
        facing = turn(self.yaw + 25 * w[0], "y")
        hips = facing @ turn(10 * w[1], "z") @ turn(12 * w[2] + 12 * self.depth, "x")
        chest = hips @ turn(22 * w[3], "y") @ turn(12 * w[4], "z") @ turn(14 * w[5] + 6, "x")
        head = chest @ turn(30 * w[6], "y") @ turn(10 * w[7], "z") @ turn(16 * w[8] - 8, "x")
        step = hips.T @ chest
        half = hips @ _part(step, 0.5)
        turns = {
            "hips": hips,
            "low": hips @ _part(step, 0.25),
            "mid": half,
            "chest": chest,
            "neck": chest,
            "head": head,
        }
        chain = self.chain
        for side, sign, at in (("L", 1, 9), ("R", -1, 21)):
            turns[f"collar.{side}"] = chest
            down = shortest(chain.rest_way(f"upperarm01.{side}", f"lowerarm01.{side}"), np.array([0, -1.0, 0]))
            upper = (
                chest
                @ turn(sign * 40 * w[at], "y")
                @ turn(-45 - 50 * w[at + 1], "x")
                @ turn(sign * (25 + 25 * w[at + 2]), "z")
            )
            bend = float(np.clip(60 + 50 * w[at + 3], 0, 140))
            fore = upper @ turn(sign * -35 * w[at + 4], "y") @ turn(-bend, "x")
            turns[f"upper.{side}"] = upper @ down
            turns[f"fore.{side}"] = fore @ shortest(
                chain.rest_way(f"lowerarm01.{side}", f"wrist.{side}"), np.array([0, -1.0, 0])
            )
            turns[f"hand.{side}"] = turns[f"fore.{side}"] @ turn(20 * w[at + 5], "x")
            flex = float(np.clip(28 * self.depth + 24 * w[at + 6], -15, 85))
            knee = float(np.clip(flex * 1.1 + 14 + 26 * w[at + 7], 0, 120))
            thigh = hips @ turn(sign * 18 * w[at + 8], "y") @ turn(sign * (12 + 11 * w[at + 9]), "z") @ turn(-flex, "x")
            straight = shortest(chain.rest_way(f"upperleg01.{side}", f"lowerleg01.{side}"), np.array([0, -1.0, 0]))
            turns[f"thigh.{side}"] = thigh @ straight
            shank = thigh @ turn(knee, "x")
            turns[f"shank.{side}"] = shank @ shortest(
                chain.rest_way(f"lowerleg01.{side}", f"foot.{side}"), np.array([0, -1.0, 0])
            )
            ahead = shank @ np.array([0.0, 0.0, 1.0])
            yaw = np.degrees(np.arctan2(ahead[0], ahead[2])) + 12 * w[at + 10]
            flat = turn(yaw, "y") @ turn(max(0.0, 16 * w[at + 11]), "x")
            turns[f"foot.{side}"], turns[f"toes.{side}"] = flat, turn(yaw, "y")
        rotations, places = chain.pose(turns, np.zeros(3))
        places = places + np.array([0, SOLE - chain.lowest(rotations, places), 0])
        return Moment(rotations, places, None)


def _part(step: np.ndarray, share: float) -> np.ndarray:
    spin = np.array([step[2, 1] - step[1, 2], step[0, 2] - step[2, 0], step[1, 0] - step[0, 1]]) / 2
    sine = float(np.sqrt(spin @ spin))
    if sine < 1e-9:
        return np.eye(3)
    return about(spin / sine * np.arctan2(sine, (np.trace(step) - 1) / 2) * share)


assert {f.name for f in fields(Stance)} >= set(Swing.LOOSE)
