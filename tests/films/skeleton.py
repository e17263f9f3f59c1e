"""Pose a body: from a few body-level wishes (pelvis, head, feet, bat) to a rotation and a place for every bone.

All poses are of a right-handed hitter in field axes: x toward the pitcher, y up, z toward the plate (so the hitter faces
+z). Rotations are world rotations relative to rest, so a bone at rest has the identity. A left-handed hitter is the
mirror image, made after posing.
"""

from __future__ import annotations

import numpy as np

from .body import Body
from .measures import Measures
from .stance import FootPose, Posed, Stance
from .turning import UP, about, blend, cross, frame_of, shortest, turn, two_bones, unit

__all__ = ["Skeleton"]

CLOSE_M = 1e-4
AWAY = unit(np.array([0.35, -0.6, 0.5]))  # where a hand goes that leaves the bat


class Skeleton(Measures):
    """Poses one body."""

    def __init__(self, body: Body, bat_length: float, sole: float = 0.012) -> None:
        super().__init__(body, bat_length, sole)
        self._lean = np.zeros(2)
        self._rows: dict[tuple[str, ...], list[int]] = {}
        # Which bones [B, B] lie between the root and each one: their steps add up to its place.
        self.above = np.zeros((len(body.bones), len(body.bones)))
        for k in range(1, len(body.bones)):
            self.above[k] = self.above[body.parents[k]]
            self.above[k, k] = 1.0

    def pose(self, wish: Stance) -> Posed:
        """Every bone for one moment."""
        rotations = np.repeat(np.eye(3)[None], len(self.body.bones), 0)
        pelvis = turn(wish.pelvis_yaw, "y") @ turn(wish.pelvis_side, "z") @ turn(wish.pelvis_lean, "x")
        self._set(rotations, pelvis, "root", "pelvis")
        face = turn(wish.face_yaw, "y") @ turn(wish.face_down, "x")
        self._trunk_under_head(rotations, wish, pelvis, face)
        places = self._places(rotations, wish.pelvis)
        joints: dict[str, np.ndarray] = {}
        for side, foot, out in (("L", wish.front_foot, wish.front_knee_out), ("R", wish.rear_foot, wish.rear_knee_out)):
            self._leg(rotations, places, side, foot, out, joints)
        grip, miss = self._arms(rotations, places, wish)
        places = self._places(rotations, wish.pelvis)
        self._name_joints(rotations, places, joints)
        knob = grip - wish.bat * (self.first_hand + self.hand_gap / 2)
        return Posed(rotations, places, joints, knob, knob + wish.bat * self.bat_length, miss)

    def standing(self, yaw: float) -> tuple[np.ndarray, np.ndarray]:
        """Rotations and places of somebody who just stands there, soles at y = 0, looking ``yaw`` degrees from +z toward +x."""
        rotations = np.repeat(np.eye(3)[None], len(self.body.bones), 0)
        for side, sign in (("L", -1), ("R", 1)):
            down = turn(sign * 34, "z")
            names = ("upperarm", "lowerarm", "wrist", "metacarpal", "finger")
            self._set(
                rotations,
                down,
                *(bone for bone in self.body.bones if bone.startswith(names) and bone.endswith(f".{side}")),
            )
        facing = turn(yaw, "y")
        hips = (self.body.head("upperleg01.L") + self.body.head("upperleg01.R")) / 2
        rotations = facing @ rotations
        return rotations, self._places(rotations, facing @ hips)

    def _set(self, rotations: np.ndarray, value: np.ndarray, *starts: str) -> None:
        if starts not in self._rows:
            self._rows[starts] = [k for k, bone in enumerate(self.body.bones) if bone.startswith(starts)]
        rotations[self._rows[starts]] = value

    def _places(self, rotations: np.ndarray, pelvis: np.ndarray) -> np.ndarray:
        """Place of every bone, so that the middle of the two hip joints lies at ``pelvis``."""
        heads, parents = self.body.heads, self.body.parents
        steps = np.zeros_like(heads)
        steps[1:] = np.einsum("bij,bj->bi", rotations[parents[1:]], heads[1:] - heads[parents[1:]])
        places = self.above @ steps
        left, right = self.body.index("upperleg01.L"), self.body.index("upperleg01.R")
        return places + pelvis - (places[left] + places[right]) / 2

    def _trunk_under_head(self, rotations: np.ndarray, wish: Stance, pelvis: np.ndarray, face: np.ndarray) -> None:
        """Lean the trunk so that the head comes to lie where it is wished; corrected until it is within a tenth of a millimetre."""
        lean = self._lean  # x and z part of the trunk's direction; the last pose's is a good first guess
        length = 0.62 * self.scale
        ears = (self.ears_rest["L"] + self.ears_rest["R"]) / 2
        head = self.body.index("head")
        for _ in range(8):
            up = unit(np.array([lean[0], np.sqrt(max(0.2, 1 - lean @ lean)), lean[1]]))
            tilt = shortest(UP, up)
            chest = tilt @ turn(wish.chest_yaw, "y")
            for k, share in enumerate((0.15, 0.4, 0.65, 0.9, 1.0)):
                self._set(rotations, blend(pelvis, chest, share), f"spine0{5 - k}")
            self._set(rotations, chest, "breast", "clavicle", "shoulder")
            for k, share in enumerate((0.3, 0.55, 0.8)):
                self._set(rotations, blend(chest, face, share), f"neck0{k + 1}")
            first = self.body.index("head")
            rotations[first:] = face
            places = self._places(rotations, wish.pelvis)
            middle = places[head] + face @ (ears - self.body.heads[head])
            miss = wish.head[[0, 2]] - middle[[0, 2]]
            if miss @ miss < CLOSE_M**2:
                break
            lean = lean + miss / length
        self._lean = lean

    def _leg(
        self,
        rotations: np.ndarray,
        places: np.ndarray,
        side: str,
        foot: FootPose,
        out: float,
        joints: dict[str, np.ndarray],
    ) -> None:
        rest = self.foot_rest[side]
        flat, raised = self.foot_turn(side, foot)
        self._set(rotations, raised, f"foot.{side}")
        self._set(
            rotations,
            flat if foot.heel > 0 else raised,
            *(f"toe{k}-{j}.{side}" for k in range(1, 6) for j in (1, 2, 3)),
        )
        ground = foot.ball + UP * self.sole
        ankle = self.ankle_of(side, foot)
        hip = places[self.body.index(f"upperleg01.{side}")]
        knee_yaw = np.radians(foot.yaw + out)
        toward = np.array([np.sin(knee_yaw), 0.0, np.cos(knee_yaw)])
        knee = two_bones(hip, ankle, self.thigh[side], self.shank[side], toward)
        at = self.body.head
        for bones, start, end, rest_start, rest_end in (
            (("upperleg",), hip, knee, at(f"upperleg01.{side}"), at(f"lowerleg01.{side}")),
            (("lowerleg",), knee, ankle, at(f"lowerleg01.{side}"), at(f"foot.{side}")),
        ):
            value = frame_of(end - start, toward) @ frame_of(rest_end - rest_start, np.array([0, 0, 1.0])).T
            for name in bones:
                self._set(rotations, value, f"{name}01.{side}", f"{name}02.{side}")
        name = {"L": "left", "R": "right"}[side]
        joints[f"{name}_heel"] = ground - UP * self.sole + raised @ (rest["heel"] - rest["ball"])
        tip = flat if foot.heel > 0 else raised
        joints[f"{name}_toe"] = ground - UP * self.sole + tip @ (rest["toe"] - rest["ball"])

    def _arms(self, rotations: np.ndarray, places: np.ndarray, wish: Stance) -> tuple[np.ndarray, float]:
        """Both hands onto the bat; returns the grip (drawn in where an arm was too short) and the largest miss in metres."""
        grip = wish.grip.copy()
        sides = (("L", -0.5, wish.front_elbow), ("R", 0.5, wish.rear_elbow))
        off = {"L": np.zeros(3), "R": wish.let_go * AWAY}

        def target_of(side: str, along: float) -> np.ndarray:
            """Where a hand goes: its place on the bat, or away from it."""
            return grip + wish.bat * self.hand_gap * along + off[side]

        for side, along, _ in sides:
            self._shrug(rotations, places, side, target_of(side, along))
        placed = self._places(rotations, wish.pelvis)
        shoulders = {side: placed[self.body.index(f"upperarm01.{side}")] for side, _, _ in sides}
        for _ in range(12):
            drawn_in = False
            for side, along, pole in sides:
                target = target_of(side, along)
                wrist, _ = self._hand(side, shoulders[side], target, wish.bat, pole)
                short = np.linalg.norm(wrist - shoulders[side]) - 0.985 * (self.upper[side] + self.fore[side])
                if short > 1e-4:
                    drawn_in = True
                    grip = grip + unit(shoulders[side] - wrist) * short
            if not drawn_in:
                break
        miss = 0.0
        for side, along, pole in sides:
            target = target_of(side, along)
            wrist, hand = self._hand(side, shoulders[side], target, wish.bat, pole)
            elbow = two_bones(shoulders[side], wrist, self.upper[side], self.fore[side], pole)
            self._lay_arm(rotations, side, shoulders[side], elbow, wrist, hand, pole)
            reached = elbow + unit(wrist - elbow) * self.fore[side] + hand @ self.hand_grip[side]
            miss = max(miss, float(np.linalg.norm(reached - target)))
        return grip, miss

    def _shrug(self, rotations: np.ndarray, places: np.ndarray, side: str, target: np.ndarray) -> None:
        """The collar bone follows the hand a little, as far as a shoulder blade slides (about 18 degrees)."""
        k = self.body.index(f"clavicle.{side}")
        root, tip = places[k], places[self.body.index(f"upperarm01.{side}")]
        now, want = unit(tip - root), unit(target - root)
        angle = np.degrees(np.arccos(np.clip(now @ want, -1, 1)))
        part = min(18.0, 0.28 * angle)
        axis = cross(now, want)
        if np.linalg.norm(axis) > 1e-6:
            step = about(unit(axis) * np.radians(part))
            rotations[k] = step @ rotations[k]
            shoulder = self.body.index(f"shoulder01.{side}")
            rotations[shoulder] = step @ rotations[shoulder]

    def _hand(
        self, side: str, shoulder: np.ndarray, target: np.ndarray, bat: np.ndarray, pole: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Wrist and hand rotation so that the fist closes round the bat at ``target``."""
        elbow = two_bones(shoulder, target, self.upper[side], self.fore[side] + 0.08 * self.scale, pole)
        wrist, hand = target, np.eye(3)
        lead = _lead(bat)
        for _ in range(3):
            arm = unit(target - elbow)
            ahead = unit(arm - bat * (arm @ bat) * 0.55 + lead)
            hand = frame_of(ahead, bat) @ self.hand_frame[side].T
            wrist = target - hand @ self.hand_grip[side]
            elbow = two_bones(shoulder, wrist, self.upper[side], self.fore[side], pole)
        return wrist, hand

    def _lay_arm(
        self,
        rotations: np.ndarray,
        side: str,
        shoulder: np.ndarray,
        elbow: np.ndarray,
        wrist: np.ndarray,
        hand: np.ndarray,
        pole: np.ndarray,
    ) -> None:
        at = self.body.head
        s0, e0, w0 = at(f"upperarm01.{side}"), at(f"lowerarm01.{side}"), at(f"wrist.{side}")
        bend0 = e0 - (s0 + w0) / 2
        bend = elbow - (shoulder + wrist) / 2
        bend = bend if np.linalg.norm(bend) > 0.01 else pole
        upper = frame_of(elbow - shoulder, bend) @ frame_of(e0 - s0, bend0).T
        fore = frame_of(wrist - elbow, bend) @ frame_of(w0 - e0, bend0).T
        collar = rotations[self.body.index(f"shoulder01.{side}")]
        # Twist spreads along the limb, so that the skin does not wring at one joint.
        swing = shortest(unit(collar @ (e0 - s0)), unit(elbow - shoulder)) @ collar
        self._set(rotations, blend(swing, upper, 0.4), f"upperarm01.{side}")
        self._set(rotations, upper, f"upperarm02.{side}")
        self._keep_on_line(
            rotations, (f"upperarm01.{side}", f"upperarm02.{side}"), f"lowerarm01.{side}", elbow - shoulder
        )
        turned = shortest(unit(hand @ self.hand_frame[side][:, 0]), unit(wrist - elbow)) @ hand
        flat = shortest(unit(turned @ (w0 - e0)), unit(wrist - elbow)) @ turned
        self._set(rotations, fore, f"lowerarm01.{side}")
        self._set(rotations, blend(fore, flat, 0.6), f"lowerarm02.{side}")
        self._keep_on_line(rotations, (f"lowerarm01.{side}", f"lowerarm02.{side}"), f"wrist.{side}", wrist - elbow)
        self._set(rotations, hand, f"wrist.{side}", *(f"metacarpal{k}.{side}" for k in range(1, 5)))
        self._fist(rotations, side, hand)

    def _keep_on_line(self, rotations: np.ndarray, bones: tuple[str, str], after: str, along: np.ndarray) -> None:
        """The two bones of an upper arm or forearm are not quite in line at rest: aim the pair so that it still ends at ``after``."""
        first, second = self.body.index(bones[0]), self.body.index(bones[1])
        heads = self.body.heads
        end = rotations[first] @ (heads[second] - heads[first]) + rotations[second] @ (
            self.body.head(after) - heads[second]
        )
        fix = shortest(unit(end), unit(along))
        rotations[first], rotations[second] = fix @ rotations[first], fix @ rotations[second]

    def _fist(self, rotations: np.ndarray, side: str, hand: np.ndarray) -> None:
        """Close the fingers and the thumb round a handle."""
        frame = self.hand_frame[side]
        axis = frame[:, 1] * self.palm_sign[side]
        for finger in range(2, 6):
            for joint, angle in ((1, 50.0), (2, 118.0), (3, 172.0)):
                curl = about(-axis * np.radians(angle))
                rotations[self.body.index(f"finger{finger}-{joint}.{side}")] = hand @ curl
        across = frame[:, 0]
        for joint, angle in ((1, 18.0), (2, 40.0), (3, 75.0)):
            curl = about(across * self.palm_sign[side] * np.radians(angle))
            rotations[self.body.index(f"finger1-{joint}.{side}")] = hand @ curl

    def _name_joints(self, rotations: np.ndarray, places: np.ndarray, joints: dict[str, np.ndarray]) -> None:
        pairs = {
            "shoulder": "upperarm01",
            "elbow": "lowerarm01",
            "wrist": "wrist",
            "hip": "upperleg01",
            "knee": "lowerleg01",
            "ankle": "foot",
        }
        for word, bone in pairs.items():
            for side, name in (("L", "left"), ("R", "right")):
                joints[f"{name}_{word}"] = places[self.body.index(f"{bone}.{side}")]
        k = self.body.index("head")
        for side, name in (("L", "left"), ("R", "right")):
            joints[f"{name}_ear"] = places[k] + rotations[k] @ (self.ears_rest[side] - self.body.heads[k])
            grip = self.body.index(f"wrist.{side}")
            joints[f"{name}_grip"] = places[grip] + rotations[grip] @ self.hand_grip[side]
        joints["nose"] = places[k] + rotations[k] @ (self.nose_rest - self.body.heads[k])


def _lead(bat: np.ndarray) -> np.ndarray:
    """Where the knuckles want to point while the bat comes through: the way the barrel goes, rolling over the top afterwards.

    Forearm and bat come nearly into line there, so that the forearm alone no longer says how the fist is turned.
    """
    azimuth = np.degrees(np.arctan2(bat[0], bat[2]))
    share = float(np.clip((azimuth + 100) / 50, 0, 1) * np.clip((172 - azimuth) / 110, 0, 1))
    share = share * share * (3 - 2 * share)
    onward = cross(UP, bat)
    over = cross(bat, onward)
    return share * (0.55 * onward + 0.45 * over)
