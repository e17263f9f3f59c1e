"""A swing at many times at once: the joints and the bat, for what is never drawn.

It does what `tests.films.skeleton.Skeleton.pose` does moment by moment, for all moments together and for the bones that joints hang on
alone (no fists, no faces), in a tenth of the time; `test_at_once.py` holds the two together. Axes are those of
`movers`. F counts times, B the bones that are posed, J the joints of `analysis.read.lift.JOINTS`.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tests.films.motion import Motion
from tests.films.skeleton import AWAY, CLOSE_M, Skeleton

from .acts import Waggled, eased
from .marks import Marks
from .movers import Swing

__all__ = ["joints_and_bat"]

UP = np.array([0.0, 1.0, 0.0])
LEANS = 40  # most steps until the head lies where it is wished; all moments begin upright
NECK = ("neck01", "neck02", "neck03")


def joints_and_bat(swing: Swing, marks: Marks, times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Joints [F, J, 3] and the bat's knob and barrel end [F, 2, 3], metres, at times [F] in seconds of the swing."""
    asked = np.asarray(times, dtype=float)
    wish = _Wish(swing, asked) if hasattr(swing, "motion") else _Stances(swing, asked)
    return _Course(swing.skeleton, marks).pose(wish)


class _Wish:
    """What the body is wished to do, each number over all times: the fields of `tests.films.stance.Stance` [F] or [F, 3]."""

    def __init__(self, swing: Swing, times: np.ndarray) -> None:
        motion, size = swing.motion, swing.skeleton.scale

        def at(name: str) -> np.ndarray:
            return motion.curves[name].over(times)

        moves = swing.waves.over(times) * swing.loose
        loose = {name: swing.LOOSE[name] * moves[:, k] for k, name in enumerate(swing.LOOSE)}
        rest = moves[:, len(loose) :]
        timing = swing.timings[0]
        share = np.clip((times - timing.load) / max(timing.down - timing.load, 0.05), 0, 1)
        across = swing.across[0] * (1 - share) + swing.across[1] * share
        steady = swing.waves.steady[len(loose) :] * swing.loose
        nothing = np.zeros(len(times))
        ahead = np.full(len(times), swing.skeleton.ball_ahead)
        turned = swing.stance_turn
        self.feet = {
            "L": (
                np.stack([at("front_foot_x"), at("front_foot_y"), ahead + across], 1),
                at("front_foot_yaw") + 4 * steady[0] + turned,
                at("front_foot_heel"),
                loose["front_knee_out"] + at("front_knee_out"),
            ),
            "R": (
                np.stack([at("rear_foot_x"), nothing, ahead], 1),
                at("rear_foot_yaw") + 6 * steady[1] + turned,
                at("rear_foot_heel"),
                loose["rear_knee_out"] + at("rear_knee_out"),
            ),
        }
        plain = _middle(motion, times, at)
        pelvis, head, self.let_go = plain["pelvis"], plain["head"], at("let_go")
        self.pelvis = pelvis + np.array([0.012, 0.0, 0.02]) * rest[:, 2:5] * size
        self.pelvis += np.stack([nothing, -0.01 * size * np.abs(rest[:, 3]), across / 2], 1)
        self.head = head + np.array([0.02, 0.0, 0.03]) * rest[:, 5:8] * size
        turns = ("pelvis_yaw", "pelvis_lean", "pelvis_side", "chest_yaw", "face_yaw", "face_down")
        self.turn = {name: at(name) + loose[name] for name in turns}
        self.grip = plain["grip"] + 0.03 * rest[:, 8:11] * size
        self.bat = _unit(plain["bat"] + 0.08 * rest[:, 11:14])
        self.elbow = {
            "L": _unit(at("front_elbow")) + 0.22 * rest[:, [8, 12, 3]],
            "R": _unit(at("rear_elbow")) + 0.22 * rest[:, [10, 4, 13]],
        }
        if isinstance(swing, Waggled):
            fade = swing.size * (1.0 - eased((times - timing.load + 0.35) / 0.3))
            wobble = (fade * np.sin(2 * np.pi * swing.hz * times))[:, None]
            self.bat = _unit(self.bat + np.abs(wobble) * 5.0 * np.array([0.5, 0.1, 0.5]))
            self.grip = self.grip + wobble * swing.way


class _Stances(_Wish):
    """The same of a swing that goes by no key poses: what it wishes for is asked moment by moment."""

    def __init__(self, swing: Swing, times: np.ndarray) -> None:
        stances = [swing.wish(float(time)) for time in times]

        def all_of(name: str) -> np.ndarray:
            return np.array([getattr(stance, name) for stance in stances], dtype=float)

        def foot(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
            poses = [getattr(stance, f"{name}_foot") for stance in stances]
            yaw, heel = (np.array([getattr(pose, what) for pose in poses], dtype=float) for what in ("yaw", "heel"))
            return np.array([pose.ball for pose in poses]), yaw, heel, all_of(f"{name}_knee_out")

        self.feet = {"L": foot("front"), "R": foot("rear")}
        self.pelvis, self.head, self.let_go = all_of("pelvis"), all_of("head"), all_of("let_go")
        turns = ("pelvis_yaw", "pelvis_lean", "pelvis_side", "chest_yaw", "face_yaw", "face_down")
        self.turn = {name: all_of(name) for name in turns}
        self.grip, self.bat = all_of("grip"), all_of("bat")
        self.elbow = {"L": all_of("front_elbow"), "R": all_of("rear_elbow")}


def _middle(motion: Motion, times: np.ndarray, at: Callable[[str], np.ndarray]) -> dict[str, np.ndarray]:
    """Hips, head, grip and bat as `Motion.stance` wishes them, [F, 3] each."""
    m, s = motion.manner, motion.scale
    sway = m.sway * s * np.stack([np.sin(2 * np.pi * 0.31 * times + m.phase), np.cos(2 * np.pi * 0.43 * times)], 1)
    rock = motion.rock(times)
    pelvis = np.stack([at("pelvis_x") + sway[:, 0] * 0.6 + rock, at("height"), at("pelvis_z") + sway[:, 1] * 0.4], 1)
    head = np.stack([at("head_x") + sway[:, 0] * 0.8 + rock, np.zeros(len(times)), at("head_z") + sway[:, 1]], 1)
    azimuth, radius, height = at("grip").T
    around = np.radians(azimuth)
    middle = np.stack([head[:, 0], pelvis[:, 1] + 0.49 * s, head[:, 2] - 0.08 * s], 1)
    grip = middle + np.stack([radius * np.sin(around), height, radius * np.cos(around)], 1)
    bat_az, bat_up = np.radians(at("bat").T)
    bat = np.stack([np.cos(bat_up) * np.sin(bat_az), np.sin(bat_up), np.cos(bat_up) * np.cos(bat_az)], 1)
    return {"pelvis": pelvis, "head": head, "grip": grip, "bat": bat}


class _Course:
    """Poses one body over all times; rotations [F, B, 3, 3] and places [F, B, 3] of the bones that joints hang on."""

    def __init__(self, skeleton: Skeleton, marks: Marks) -> None:
        self.skeleton, self.marks, self.body = skeleton, marks, skeleton.body
        ends = [int(k) for k in marks.bones]
        needed = sorted({above for end in ends for above in self._line(end)})
        self.row = {self.body.bones[k]: n for n, k in enumerate(needed)}
        self.heads = self.body.heads[needed]
        self.parent = np.array([self.row[self.body.bones[max(self.body.parents[k], 0)]] for k in needed])
        self.above = skeleton.above[np.ix_(needed, needed)]
        self.marked = np.array([self.row[self.body.bones[k]] for k in ends])

    def _line(self, bone: int) -> list[int]:
        """A bone and all between it and the root."""
        line = [bone]
        while line[-1] > 0:
            line.append(int(self.body.parents[line[-1]]))
        return line

    def pose(self, wish: _Wish) -> tuple[np.ndarray, np.ndarray]:
        frames = len(wish.pelvis)
        self.rotations = np.tile(np.eye(3), (frames, len(self.row), 1, 1))
        turned = wish.turn
        pelvis = _turn(turned["pelvis_yaw"], 1) @ _turn(turned["pelvis_side"], 2) @ _turn(turned["pelvis_lean"], 0)
        self._set(pelvis, "root", "pelvis.L", "pelvis.R")
        face = _turn(turned["face_yaw"], 1) @ _turn(turned["face_down"], 0)
        places = self._trunk_under_head(wish, pelvis, face)
        for side in "LR":
            self._leg(places, side, *wish.feet[side])
        grip = self._arms(places, wish)
        places = self._places(wish.pelvis)
        joints = places[:, self.marked] + np.einsum("fjab,jb->fja", self.rotations[:, self.marked], self.marks.rest)
        knob = grip - wish.bat * (self.skeleton.first_hand + self.skeleton.hand_gap / 2)
        return joints, np.stack([knob, knob + wish.bat * self.skeleton.bat_length], 1)

    def _set(self, value: np.ndarray, *bones: str) -> None:
        for bone in bones:
            if bone in self.row:
                self.rotations[:, self.row[bone]] = value

    def _of(self, bone: str) -> np.ndarray:
        return self.rotations[:, self.row[bone]]

    def _at(self, places: np.ndarray, bone: str) -> np.ndarray:
        return places[:, self.row[bone]]

    def _places(self, pelvis: np.ndarray) -> np.ndarray:
        steps = np.zeros((len(pelvis), *self.heads.shape))
        offsets = self.heads[1:] - self.heads[self.parent[1:]]
        steps[:, 1:] = (self.rotations[:, self.parent[1:]] @ offsets[:, :, None])[..., 0]
        places = self.above @ steps
        hips = (self._at(places, "upperleg01.L") + self._at(places, "upperleg01.R")) / 2
        return np.asarray(places + (pelvis - hips)[:, None])

    def _trunk_under_head(self, wish: _Wish, pelvis: np.ndarray, face: np.ndarray) -> np.ndarray:
        skeleton = self.skeleton
        lean = np.zeros((len(pelvis), 2))
        ears = (skeleton.ears_rest["L"] + skeleton.ears_rest["R"]) / 2 - self.body.head("head")
        yaw = _turn(wish.turn["chest_yaw"], 1)
        for _ in range(LEANS):
            upright = np.sqrt(np.maximum(0.2, 1 - (lean**2).sum(1)))
            up = _unit(np.stack([lean[:, 0], upright, lean[:, 1]], 1))
            chest = _shortest(np.broadcast_to(UP, up.shape), up) @ yaw
            for k, share in enumerate((0.15, 0.4, 0.65, 0.9, 1.0)):
                self._set(_blend(pelvis, chest, share), f"spine0{5 - k}")
            self._set(chest, "clavicle.L", "clavicle.R", "shoulder01.L", "shoulder01.R")
            for k, share in enumerate((0.3, 0.55, 0.8)):
                self._set(_blend(chest, face, share), f"neck0{k + 1}")
            self._set(face, "head")
            miss = (wish.head - self._head_at(wish.pelvis) - face @ ears)[:, [0, 2]]
            far = (miss**2).sum(1) >= CLOSE_M**2
            if not far.any():
                break
            lean = lean + np.where(far[:, None], miss, 0.0) / (0.62 * skeleton.scale)
        return self._places(wish.pelvis)

    def _head_at(self, pelvis: np.ndarray) -> np.ndarray:
        """Where the head's bone begins, [F, 3]: `_places` of it alone."""
        at = sum(self._step(bone) for bone in ("spine05", "spine04", "spine03", "spine02", "spine01", *NECK, "head"))
        hips = [self._step(f"pelvis.{side}") + self._step(f"upperleg01.{side}") for side in "LR"]
        return np.asarray(at + pelvis - (hips[0] + hips[1]) / 2)

    def _step(self, bone: str) -> np.ndarray:
        """From the bone above to this one, [F, 3]."""
        k = self.row[bone]
        return np.asarray(self.rotations[:, self.parent[k]] @ (self.heads[k] - self.heads[self.parent[k]]))

    def _leg(
        self, places: np.ndarray, side: str, ball: np.ndarray, yaw: np.ndarray, heel: np.ndarray, out: np.ndarray
    ) -> None:
        skeleton, head = self.skeleton, self.body.head
        rest = skeleton.foot_rest[side]
        flat = _turn(yaw - rest["yaw"], 1)
        bent = np.radians(rest["yaw"])
        raised = _about(flat @ np.array([np.cos(bent), 0, -np.sin(bent)]) * np.radians(heel)[:, None]) @ flat
        self._set(raised, f"foot.{side}")
        self._set(
            np.where((heel > 0)[:, None, None], flat, raised),
            *(f"toe{k}-{j}.{side}" for k in range(1, 6) for j in (1, 2, 3)),
        )
        ankle = ball + UP * skeleton.sole + raised @ (rest["ankle"] - rest["ball"])
        hip = self._at(places, f"upperleg01.{side}")
        around = np.radians(yaw + out)
        toward = np.stack([np.sin(around), np.zeros(len(yaw)), np.cos(around)], 1)
        knee = _two_bones(hip, ankle, skeleton.thigh[side], skeleton.shank[side], toward)
        ahead = np.array([0, 0, 1.0])
        for bone, start, end, after in (
            ("upperleg", hip, knee, f"lowerleg01.{side}"),
            ("lowerleg", knee, ankle, f"foot.{side}"),
        ):
            still = _frame_of(head(after) - head(f"{bone}01.{side}"), ahead)
            self._set(_frame_of(end - start, toward) @ still.T, f"{bone}01.{side}", f"{bone}02.{side}")

    def _arms(self, places: np.ndarray, wish: _Wish) -> np.ndarray:
        skeleton = self.skeleton
        grip = wish.grip
        sides = (("L", -0.5), ("R", 0.5))
        off = {"L": 0.0, "R": wish.let_go[:, None] * AWAY}

        def target_of(side: str, along: float) -> np.ndarray:
            return np.asarray(grip + wish.bat * skeleton.hand_gap * along + off[side])

        for side, along in sides:
            self._shrug(places, side, target_of(side, along))
        placed = self._places(wish.pelvis)
        shoulders = {side: self._at(placed, f"upperarm01.{side}") for side in "LR"}
        for _ in range(12):
            drawn_in = False
            for side, along in sides:
                wrist, _ = self._hand(side, shoulders[side], target_of(side, along), wish)
                reach = np.linalg.norm(wrist - shoulders[side], axis=1)
                short = reach - 0.985 * (skeleton.upper[side] + skeleton.fore[side])
                if (short > 1e-4).any():
                    drawn_in = True
                    back = np.where(short > 1e-4, short, 0.0)[:, None]
                    grip = grip + _unit(shoulders[side] - wrist) * back
            if not drawn_in:
                break
        for side, along in sides:
            wrist, hand = self._hand(side, shoulders[side], target_of(side, along), wish)
            pole = wish.elbow[side]
            elbow = _two_bones(shoulders[side], wrist, skeleton.upper[side], skeleton.fore[side], pole)
            self._lay_arm(side, shoulders[side], elbow, wrist, hand, pole)
        return grip

    def _shrug(self, places: np.ndarray, side: str, target: np.ndarray) -> None:
        root = self._at(places, f"clavicle.{side}")
        now, want = _unit(self._at(places, f"upperarm01.{side}") - root), _unit(target - root)
        angle = np.degrees(np.arccos(np.clip((now * want).sum(1), -1, 1)))
        axis = np.cross(now, want)
        known = np.linalg.norm(axis, axis=1) > 1e-6
        part = np.where(known, np.radians(np.minimum(18.0, 0.28 * angle)), 0.0)
        step = _about(_unit(np.where(known[:, None], axis, UP)) * part[:, None])
        for bone in (f"clavicle.{side}", f"shoulder01.{side}"):
            self._set(step @ self._of(bone), bone)

    def _hand(self, side: str, shoulder: np.ndarray, target: np.ndarray, wish: _Wish) -> tuple[np.ndarray, np.ndarray]:
        skeleton, pole, bat = self.skeleton, wish.elbow[side], wish.bat
        upper, fore = skeleton.upper[side], skeleton.fore[side]
        elbow = _two_bones(shoulder, target, upper, fore + 0.08 * skeleton.scale, pole)
        lead = _lead(bat)
        for _ in range(3):
            arm = _unit(target - elbow)
            along = (arm * bat).sum(1, keepdims=True)
            hand = _frame_of(_unit(arm - bat * along * 0.55 + lead), bat) @ skeleton.hand_frame[side].T
            wrist = target - hand @ skeleton.hand_grip[side]
            elbow = _two_bones(shoulder, wrist, upper, fore, pole)
        return wrist, hand

    def _lay_arm(
        self, side: str, shoulder: np.ndarray, elbow: np.ndarray, wrist: np.ndarray, hand: np.ndarray, pole: np.ndarray
    ) -> None:
        head = self.body.head
        s0, e0, w0 = head(f"upperarm01.{side}"), head(f"lowerarm01.{side}"), head(f"wrist.{side}")
        bend = elbow - (shoulder + wrist) / 2
        bend = np.where(np.linalg.norm(bend, axis=1, keepdims=True) > 0.01, bend, pole)
        bend0 = e0 - (s0 + w0) / 2
        upper = _frame_of(elbow - shoulder, bend) @ _frame_of(e0 - s0, bend0).T
        fore = _frame_of(wrist - elbow, bend) @ _frame_of(w0 - e0, bend0).T
        collar = self._of(f"shoulder01.{side}")
        swing = _shortest(_unit(collar @ (e0 - s0)), _unit(elbow - shoulder)) @ collar
        self._set(_blend(swing, upper, 0.4), f"upperarm01.{side}")
        self._set(upper, f"upperarm02.{side}")
        self._keep_on_line(f"upperarm01.{side}", f"upperarm02.{side}", f"lowerarm01.{side}", elbow - shoulder)
        along = _unit(wrist - elbow)
        turned = _shortest(_unit(hand @ self.skeleton.hand_frame[side][:, 0]), along) @ hand
        flat = _shortest(_unit(turned @ (w0 - e0)), along) @ turned
        self._set(fore, f"lowerarm01.{side}")
        self._set(_blend(fore, flat, 0.6), f"lowerarm02.{side}")
        self._keep_on_line(f"lowerarm01.{side}", f"lowerarm02.{side}", f"wrist.{side}", wrist - elbow)
        self._set(hand, f"wrist.{side}")

    def _keep_on_line(self, first: str, second: str, after: str, along: np.ndarray) -> None:
        head = self.body.head
        end = self._of(first) @ (head(second) - head(first)) + self._of(second) @ (head(after) - head(second))
        fix = _shortest(_unit(end), _unit(along))
        for bone in (first, second):
            self._set(fix @ self._of(bone), bone)


def _lead(bat: np.ndarray) -> np.ndarray:
    """`tests.films.skeleton.lead` over time."""
    azimuth = np.degrees(np.arctan2(bat[:, 0], bat[:, 2]))
    share = np.clip((azimuth + 100) / 50, 0, 1) * np.clip((172 - azimuth) / 110, 0, 1)
    share = (share * share * (3 - 2 * share))[:, None]
    onward = np.cross(UP, bat)
    return np.asarray(share * (0.55 * onward + 0.45 * np.cross(bat, onward)))


def _unit(v: np.ndarray) -> np.ndarray:
    return np.asarray(v / np.linalg.norm(v, axis=-1, keepdims=True))


def _about(vector: np.ndarray) -> np.ndarray:
    """Rotations [F, 3, 3] of rotation vectors [F, 3] in radians (Rodrigues)."""
    angle = np.linalg.norm(vector, axis=1)
    x, y, z = (vector / np.where(angle < 1e-12, 1.0, angle)[:, None]).T
    sine, cosine = np.sin(angle), np.cos(angle)
    rest = 1.0 - cosine
    rows = [
        cosine + x * x * rest, x * y * rest - z * sine, x * z * rest + y * sine,
        y * x * rest + z * sine, cosine + y * y * rest, y * z * rest - x * sine,
        z * x * rest - y * sine, z * y * rest + x * sine, cosine + z * z * rest,
    ]  # fmt: skip
    return np.stack(rows, 1).reshape(-1, 3, 3)


def _turn(degrees: np.ndarray, axis: int) -> np.ndarray:
    """Rotations [F, 3, 3] about a world axis, right-hand rule."""
    return _about(np.eye(3)[axis] * np.radians(degrees)[:, None])


def _blend(first: np.ndarray, second: np.ndarray, share: float) -> np.ndarray:
    """The rotations ``share`` of the way from the first to the second [F, 3, 3]."""
    step = np.swapaxes(first, 1, 2) @ second
    spin = (
        np.stack([step[:, 2, 1] - step[:, 1, 2], step[:, 0, 2] - step[:, 2, 0], step[:, 1, 0] - step[:, 0, 1]], 1) / 2
    )
    sine = np.linalg.norm(spin, axis=1)
    angle = np.arctan2(sine, (np.trace(step, axis1=1, axis2=2) - 1) / 2) * share
    return np.asarray(first @ _about(spin / np.maximum(sine, 1e-12)[:, None] * angle[:, None]))


def _shortest(start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """The smallest rotations [F, 3, 3] that take the directions ``start`` [F, 3] to ``end``."""
    axis = np.cross(start, end)
    sine = np.linalg.norm(axis, axis=1)
    angle = np.where(sine < 1e-9, 0.0, np.arctan2(sine, (start * end).sum(1)))
    return _about(axis / np.maximum(sine, 1e-12)[:, None] * angle[:, None])


def _frame_of(along: np.ndarray, toward: np.ndarray) -> np.ndarray:
    """Right-handed frames [..., 3, 3], columns: ``along``, the part of ``toward`` at right angles to it, their cross product."""
    a = _unit(along)
    b = _unit(toward - a * (a * toward).sum(-1, keepdims=True))
    return np.stack([a, b, np.cross(a, b)], -1)


def _two_bones(start: np.ndarray, end: np.ndarray, first: float, second: float, pole: np.ndarray) -> np.ndarray:
    """The joints [F, 3] between two bones of the given lengths that span ``start`` to ``end``, on the side of ``pole``."""
    line = end - start
    span = np.clip(np.linalg.norm(line, axis=1), abs(first - second) + 1e-6, first + second - 1e-6)
    along = _unit(line)
    near = (first**2 - second**2 + span**2) / (2 * span)
    side = pole - along * (along * pole).sum(1, keepdims=True)
    return np.asarray(
        start + along * near[:, None] + _unit(side) * np.sqrt(np.maximum(0.0, first**2 - near**2))[:, None]
    )
