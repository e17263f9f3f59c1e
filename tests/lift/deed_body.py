"""How a deed is told and shown: keys for a handful of wishes, curves through them, and a body posed with both arms free.

A deed is told in the doer's own axes: x to the doer's left, y up, z the way the doer faces at first; where the doer is turned by
no angle these are the right-handed hitter's axes in the field (x toward the pitcher, z toward the plate). Lengths are metres for
somebody 1.78 m tall, angles degrees. An arm is told by two directions in the chest's axes, (outward, up, forward): the upper
arm's and the forearm's; so a thrower's arm is told as coaches tell it, and no arm is ever too short for its wish.
"""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import gaussian_filter1d

from tests.films.body import Body
from tests.films.skeleton import Skeleton
from tests.films.stance import FootPose
from tests.films.turning import UP, about, blend, cross, frame_of, turn, two_bones, unit

from .movers import Moment

__all__ = ["Deed", "Limbs", "Script", "Tracks"]

Tracks = dict[str, np.ndarray]
RATE = 300.0  # rows per second of the table behind a deed
SOFT_S = 0.010  # rounds the speed's corners at the keys
SIDES = (("L", 1.0), ("R", -1.0))
HANG, HANG_FORE = (0.14, -0.98, 0.03), (0.06, -0.95, 0.25)
SPINE, NECK = np.array([0.15, 0.4, 0.65, 0.9, 1.0]), np.array([0.3, 0.55, 0.8, 1.0])
ELBOW = (0.25, -0.55, -0.75)  # where the elbow of an arm that is nearly straight points: outward, up, forward
# Somebody who just stands there. hips: x, share of standing height, z; pelvis and chest: yaw (from +z toward +x), lean forward,
# lean to the right; face: yaw, down; a foot: x, y, z of its ball, yaw, heel raised; grip: from between the shoulders in arm
# lengths, in the chest's axes; bat: knob to barrel in the chest's axes; apart: how much farther than usual the hands lie apart
# on the bat; hold: how far up the bat a single hand holds it, metres.
START: dict[str, tuple[float, ...]] = {
    "hips": (0, 0.985, 0), "pelvis": (0, 3, 0), "chest": (0, 5, 0), "face": (0, 6),
    "L": (0.13, 0, 0.09, 10, 0), "R": (-0.13, 0, 0.09, -10, 0), "uL": HANG, "fL": HANG_FORE, "uR": HANG, "fR": HANG_FORE,
    "grip": (-0.3, -0.15, 0.5), "bat": (-0.3, 0.85, -0.4), "apart": (0,), "hold": (0,),
}  # fmt: skip
# How far a key strays from what is told (one deviation), and how far a body sways meanwhile. Feet on the ground do neither.
STRAY = {
    "hips": (0.012, 0.006, 0.012),
    "pelvis": 4.0,
    "chest": 5.0,
    "face": 7.0,
    "grip": 0.04,
    "bat": 0.07,
} | dict.fromkeys(("uL", "fL", "uR", "fR"), 0.09)
SWAY = {"hips": 0.006, "pelvis": 1.3, "chest": 1.6, "face": 3.0, "grip": 0.012, "bat": 0.025} | dict.fromkeys(
    ("uL", "fL", "uR", "fR"), 0.03
)


class Script:
    """What is wished, key by key; ``bat`` says which hands hold one: "both", "left", "right", "wide" (an end each), or None."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng, self.bat, self.heading = rng, None, float(rng.uniform(-180, 180))
        self.loose = float(rng.uniform(0.3, 1.2))
        self.pace = float(np.exp(rng.normal(0, 0.12)))
        self.keys: dict[str, dict[float, np.ndarray]] = {}
        self.more: list[Callable[[np.ndarray, Tracks], None]] = []

    def u(self, low: float, high: float) -> float:
        """A number between two."""
        return float(self.rng.uniform(low, high))

    def maybe(self, share: float = 0.5) -> bool:
        """True this often."""
        return bool(self.rng.random() < share)

    def at(self, time: float, **wishes: tuple[float, ...] | np.ndarray) -> None:
        """A key; what it does not name goes on between its own keys. Times are stretched by this doer's pace about 1.3 s."""
        when = 1.3 + (time - 1.3) * self.pace
        for name, value in wishes.items():
            stray = self.loose * np.asarray(STRAY.get(name, 0.0)) * self.rng.normal(0, 1, len(value))
            self.keys.setdefault(name, {})[when] = np.asarray(value, float) + stray

    def arms(self, time: float, upper: tuple[float, ...], fore: tuple[float, ...], sides: str = "LR") -> None:
        """A key for one arm or both alike."""
        for side in sides:
            self.at(time, **{f"u{side}": upper, f"f{side}": fore})

    def foot(self, side: str) -> np.ndarray:
        """Where a foot was told to be last."""
        kept = self.keys.get(side)
        return kept[max(kept)].copy() if kept else np.array(START[side], float)

    def step(
        self,
        side: str,
        start: float,
        end: float,
        to: tuple[float, float],
        yaw: float | None = None,
        lift: float = 0.1,
        heel: float = 25,
    ) -> None:
        """A foot leaves the ground at ``start`` and stands at ``to`` (x, z) from ``end`` on."""
        old = self.foot(side)
        new = np.array([to[0], 0.0, to[1], old[3] if yaw is None else yaw, 0.0])
        # A foot that was left with its heel up leaves from there.
        over = old + (new - old) * 0.5
        over[1], over[4] = lift, heel
        self.at(start, **{side: old})
        self.at((start + end) / 2, **{side: over})
        self.at(end, **{side: new})

    def pivot(self, side: str, start: float, end: float, yaw: float, heel: float = 0) -> None:
        """A foot turns on its ball."""
        new = self.foot(side)
        self.at(start, **{side: new})
        new[3:] = yaw, heel
        self.at(end, **{side: new})

    def table(self, times: np.ndarray) -> Tracks:
        """Every wish at ``times``."""
        tracks = {}
        for name, start in START.items():
            kept = self.keys.get(name) or {0.0: np.array(start, float)}
            at = np.array(sorted(kept))
            values = np.array([kept[t] for t in at])
            many = len(at) > 1
            told = (
                PchipInterpolator(at, values)(np.clip(times, at[0], at[-1]))
                if many
                else np.repeat(values, len(times), 0)
            )
            phase, hertz = self.rng.uniform(0, 6.28, (2, len(start))), self.rng.uniform(0.15, 0.9, (2, len(start)))
            waves = np.sin(phase + 6.28 * hertz * times[:, None, None]).sum(axis=1)
            tracks[name] = told + self.loose * SWAY.get(name, 0.0) * waves
        for change in self.more:
            change(times, tracks)
        return {name: gaussian_filter1d(track, SOFT_S * RATE, axis=0, mode="nearest") for name, track in tracks.items()}


def _parts(first: np.ndarray, second: np.ndarray, shares: np.ndarray) -> np.ndarray:
    """Rotations [N, 3, 3] on the way from the first to the second, at ``shares`` of it."""
    step = first.T @ second
    spin = np.array([step[2, 1] - step[1, 2], step[0, 2] - step[2, 0], step[1, 0] - step[0, 1]]) / 2
    sine = float(np.sqrt(spin @ spin))
    if sine < 1e-9:
        return np.repeat(first[None], len(shares), 0)
    x, y, z = spin / sine
    cross_ = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    angles = np.arctan2(sine, (np.trace(step) - 1) / 2) * shares[:, None, None]
    return first @ (np.eye(3) + np.sin(angles) * cross_ + (1 - np.cos(angles)) * (cross_ @ cross_))


class Limbs(Skeleton):
    """Poses a body whose arms are free, or hold a bat in one hand, or with one hand at each end."""

    def __init__(self, body: Body, bat_length: float) -> None:
        super().__init__(body, bat_length)
        self.close = self.hand_gap
        # The fingers of a closed fist turn with their hand: what each turns by is found once.
        still = np.repeat(np.eye(3)[None], len(body.bones), 0)
        self.fists = {}
        for side in "LR":
            closed = still.copy()
            super()._fist(closed, side, np.eye(3))
            rows = [k for k, bone in enumerate(body.bones) if bone.startswith("finger") and bone.endswith(f".{side}")]
            self.fists[side] = rows, closed[rows]
        self.arm = self.upper["L"] + self.fore["L"]
        self.leg = {side: self.thigh[side] + self.shank[side] for side in "LR"}
        hips = [body.head(f"upperleg01.{side}") for side in "LR"]
        self.hip_up = float(hips[0][1] + hips[1][1]) / 2 + self.sole
        self.hip_off = {side: place - (hips[0] + hips[1]) / 2 for side, place in zip("LR", hips, strict=True)}

    def show(self, w: dict[str, np.ndarray], bat: str | None) -> Moment:
        """The body at one moment, in the doer's axes."""
        rotations = np.repeat(np.eye(3)[None], len(self.body.bones), 0)
        pelvis, chest = (
            turn(y, "y") @ turn(side, "z") @ turn(lean, "x") for y, lean, side in (w["pelvis"], w["chest"])
        )
        face = turn(w["face"][0], "y") @ turn(w["face"][1], "x")
        self._trunk(rotations, pelvis, chest, face)
        feet = {side: self._grounded(side, w[side]) for side, _ in SIDES}
        hips = self._hips(w, pelvis, chest, feet)
        places = self._places(rotations, hips)
        for side, _ in SIDES:
            self._walked(rotations, places, side, feet[side])
        both = bat == "both"
        shown = (
            self._on_bat(rotations, places, hips, chest, w) if both else self._free(rotations, places, chest, w, bat)
        )
        return Moment(rotations, self._places(rotations, hips), shown)

    def _trunk(self, rotations: np.ndarray, pelvis: np.ndarray, chest: np.ndarray, face: np.ndarray) -> None:
        self._set(rotations, pelvis, "root", "pelvis")
        for k, part in enumerate(_parts(pelvis, chest, SPINE)):
            self._set(rotations, part, f"spine0{5 - k}")
        self._set(rotations, chest, "breast", "clavicle", "shoulder")
        # A neck turns 75 degrees at most; the eyes do the rest.
        angle = np.degrees(np.arccos(np.clip((np.trace(chest.T @ face) - 1) / 2, -1, 1)))
        turned = 75 * np.tanh(angle / 75) / max(angle, 1e-6)
        *neck, face = _parts(chest, face, NECK * turned)
        for k, part in enumerate(neck):
            self._set(rotations, part, f"neck0{k + 1}")
        rotations[self.body.index("head") :] = face

    def _fist(self, rotations: np.ndarray, side: str, hand: np.ndarray) -> None:
        rows, closed = self.fists[side]
        rotations[rows] = hand @ closed

    def _grounded(self, side: str, foot: np.ndarray) -> FootPose:
        """The foot as told, no part of it in the ground: a toe that is raised turns the foot on its heel."""
        rest = self.foot_rest[side]
        long = np.linalg.norm(rest["ball"] - rest["heel"])
        up = max(0.0, foot[1]) * self.scale + max(0.0, -np.sin(np.radians(foot[4]))) * long
        return FootPose(np.array([foot[0] * self.scale, up, foot[2] * self.scale]), float(foot[3]), float(foot[4]))

    def _hips(
        self, w: dict[str, np.ndarray], pelvis: np.ndarray, chest: np.ndarray, feet: dict[str, FootPose]
    ) -> np.ndarray:
        """Where the hips are: no higher than standing legs reach, and back where the trunk leans forward, for balance."""
        over = (chest @ UP) * [1, 0, 1] * 0.2 * self.scale
        hips = np.array([w["hips"][0] * self.scale, w["hips"][1] * self.hip_up, w["hips"][2] * self.scale]) - over
        tops = [hips[1]]
        for side, _ in SIDES:
            off, ankle = pelvis @ self.hip_off[side], self.ankle_of(side, feet[side])
            flat = (hips + off - ankle)[[0, 2]]
            reach = 0.99 * self.leg[side]
            lifted = max(0.0, feet[side].ball[1] - 0.02)
            tops.append(ankle[1] - off[1] + np.sqrt(max(reach**2 - flat @ flat, 0.04 * reach**2)) + 2 * lifted)
        # The least of the three, its corners rounded over about a centimetre.
        least = min(tops)
        hips[1] = least - 0.008 * np.log(np.exp(-(np.array(tops) - least) / 0.008).sum())
        return hips

    def _walked(self, rotations: np.ndarray, places: np.ndarray, side: str, foot: FootPose) -> None:
        """A leg from the hip to its foot; a foot in the air that is out of reach is drawn in."""
        hip = places[self.body.index(f"upperleg01.{side}")]
        ankle = self.ankle_of(side, foot)
        span = np.linalg.norm(ankle - hip)
        if span > 0.992 * self.leg[side]:
            ankle = hip + (ankle - hip) * 0.992 * self.leg[side] / span
        flat, raised = self.foot_turn(side, foot)
        # Toes lie on the ground, and follow the foot in the air.
        share = min(1.0, foot.ball[1] / 0.12) if foot.heel > 0 else 1.0
        self._set(rotations, raised, f"foot.{side}")
        self._set(
            rotations, blend(flat, raised, share), *(f"toe{k}-" + f"{j}.{side}" for k in range(1, 6) for j in (1, 2, 3))
        )
        yaw = np.radians(foot.yaw)
        # The knee's way rises a little, so that a leg held out level to the front still knows its bend.
        ahead = np.array([np.sin(yaw), 0.35, np.cos(yaw)])
        knee = two_bones(hip, ankle, self.thigh[side], self.shank[side], ahead)
        at = self.body.head
        for bone, start, end, rest in (
            ("upperleg", hip, knee, at(f"lowerleg01.{side}") - at(f"upperleg01.{side}")),
            ("lowerleg", knee, ankle, at(f"foot.{side}") - at(f"lowerleg01.{side}")),
        ):
            value = frame_of(end - start, ahead) @ frame_of(rest, np.array([0, 0, 1.0])).T
            self._set(rotations, value, f"{bone}01.{side}", f"{bone}02.{side}")

    def _off_ground(self, bat: np.ndarray, height: float) -> np.ndarray:
        """The bat's direction, raised where its barrel would be in the ground; it is held ``height`` metres above it."""
        low = float(np.clip((0.05 - height) / self.bat_length, -0.98, 0.0))
        if bat[1] >= low:
            return bat
        flat = np.hypot(bat[0], bat[2])
        raised = bat * np.sqrt(1 - low**2) / max(flat, 1e-6)
        raised[1] = low
        return raised

    def _on_bat(
        self, rotations: np.ndarray, places: np.ndarray, hips: np.ndarray, chest: np.ndarray, w: dict[str, np.ndarray]
    ) -> tuple[np.ndarray, np.ndarray]:
        self.hand_gap = self.close + max(0.0, w["apart"][0]) * self.scale
        upper = [places[self.body.index(f"upperarm01.{side}")] for side in "LR"]
        bat = unit(chest @ w["bat"])
        grip = (upper[0] + upper[1]) / 2 + chest @ w["grip"] * self.arm
        elbows = chest @ np.array([0.45, -0.85, 0.1]), chest @ np.array([-0.75, -0.6, -0.2])
        bat = self._off_ground(bat, grip[1])
        wish = SimpleNamespace(pelvis=hips, grip=grip, bat=bat, let_go=0.0, front_elbow=elbows[0], rear_elbow=elbows[1])
        grip, _ = self._arms(rotations, places, wish)  # type: ignore[arg-type]
        knob = grip - bat * (self.first_hand + self.hand_gap / 2)
        return knob, knob + bat * self.bat_length

    def _free(
        self, rotations: np.ndarray, places: np.ndarray, chest: np.ndarray, w: dict[str, np.ndarray], bat: str | None
    ) -> tuple[np.ndarray, np.ndarray] | None:
        ways = {}
        for side, sign in SIDES:
            pole = chest @ (np.array(ELBOW) * [sign, 1, 1])
            upper, fore = (unit(chest @ (w[f"{part}{side}"] * [sign, 1, 1])) for part in "uf")
            fore = unit(fore - 0.13 * (pole - upper * (upper @ pole)))
            ways[side] = upper, fore, pole
            shoulder = places[self.body.index(f"upperarm01.{side}")]
            self._shrug(rotations, places, side, shoulder + upper * self.upper[side] + fore * self.fore[side])
        placed = self._places(rotations, np.zeros(3))
        placed += places[0] - placed[0]
        shoulders = {side: placed[self.body.index(f"upperarm01.{side}")] for side in "LR"}
        elbows = {side: shoulders[side] + ways[side][0] * self.upper[side] for side in "LR"}
        wrists = {side: elbows[side] + ways[side][1] * self.fore[side] for side in "LR"}
        line = unit(wrists["R"] - wrists["L"] + 1e-9)
        held = unit(chest @ w["bat"])
        if bat in ("left", "right"):
            held = self._off_ground(held, wrists[bat[0].upper()][1])
        fists = {}
        for side, sign in SIDES:
            upper, fore, pole = ways[side]
            thumb = fore - upper - 0.2 * pole  # the way the forearm bends is the thumb's side
            if bat == "wide":
                thumb = line * sign
            elif bat is not None and bat[0].upper() == side:
                thumb = held + 0.1 * cross(pole, fore)
                fore = unit(fore - held * (fore @ held) * 0.55)
            hand = frame_of(fore, thumb) @ self.hand_frame[side].T
            self._lay_arm(rotations, side, shoulders[side], elbows[side], wrists[side], hand, pole)
            fists[side] = wrists[side] + hand @ self.hand_grip[side]
        if bat is None:
            return None
        if bat == "wide":
            line = unit(fists["R"] - fists["L"])
            knob = fists["L"] - line * max(0.02, (self.bat_length - np.linalg.norm(fists["R"] - fists["L"])) / 2)
            return knob, knob + line * self.bat_length
        knob = fists[bat[0].upper()] - held * (self.first_hand + max(0.0, w["hold"][0]) * self.scale)
        return knob, knob + held * self.bat_length


class Deed:
    """A script played by a body, from 0 to 3.2 s."""

    def __init__(self, body: Body, script: Script) -> None:
        rng = script.rng
        self.body, self.bat = body, script.bat
        self.bat_length = float(np.clip(rng.normal(0.46, 0.03) * body.height, 0.56, 0.89))
        self.limbs = Limbs(body, self.bat_length)
        self.heading = about(UP * np.radians(script.heading))
        self.start = np.array([rng.normal(0, 0.15), 0.0, rng.normal(0, 0.15)])
        times = np.arange(-0.1, 3.4, 1 / RATE)
        tracks = script.table(times)
        self.columns = {}
        first = 0
        for name, track in tracks.items():
            self.columns[name] = slice(first, first + track.shape[1])
            first += track.shape[1]
        self.rows = np.concatenate(list(tracks.values()), axis=1)

    def wishes(self, time: float) -> dict[str, np.ndarray]:
        """What is wished at ``time``, seconds."""
        place = float(np.clip((time + 0.1) * RATE, 0, len(self.rows) - 1.001))
        k = int(place)
        row = self.rows[k] * (k + 1 - place) + self.rows[k + 1] * (place - k)
        return {name: row[columns] for name, columns in self.columns.items()}

    def moment(self, time: float) -> Moment:
        """The body and its bat at ``time``, seconds."""
        shown = self.limbs.show(self.wishes(time), self.bat)
        heading = self.heading
        bat = None if shown.bat is None else tuple(heading @ end + self.start for end in shown.bat)
        return Moment(heading @ shown.rotations, shown.places @ heading.T + self.start, bat)  # type: ignore[arg-type]
