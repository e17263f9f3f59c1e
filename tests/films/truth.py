"""The exact truth of a film, computed from the motion in space: instants, checkpoints, joints, bat, camera.

Everything is computed in the right-handed hitter's axes (x toward the pitcher, y up, z toward the plate; front = left) at
``FINE`` samples per second. A left-handed film is the mirror image: only names and field coordinates change.
Definitions: DESIGN.md section 4; where that leaves something open, ``DEFINITIONS`` says what was taken, and the JSON carries it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .camera import Camera
from .film import Film, Play
from .motion import Timing
from .scene import INCH, PLATE
from .sound import SPEED_OF_SOUND, heard

__all__ = ["DEFINITIONS", "truth_of"]

FINE = 500.0
QUIET = 0.10  # m/s
RESTS = 0.30  # m/s, DESIGN.md section 4
# A body that turns hard can pull its front foot a little off the ground just before contact; it has landed all the same.
PULLED_S, PULLED = 0.14, 0.05  # s before contact, m above the ground
START_SHARE = 0.15
STOPPED = 40.0  # degrees per second

DEFINITIONS = {
    "hands": "middle of the two wrist joints",
    "height": "standing height of the body without shoes and helmet",
    "set_up": f"last time before the load at which hands (relative to the hips) and front ankle are both slower than {QUIET} m/s",
    "load": "hands farthest back along the line, relative to the middle of the hips, before foot_down",
    "foot_down": f"first time from which heel or toe is within 5 mm of the ground and the toe slower than {RESTS} m/s until contact, "
    f"or until the body pulls it less than {PULLED * 100:.0f} cm up within the last {PULLED_S} s",
    "swing_start": f"hands' speed relative to the middle of the hips rises for good through {START_SHARE:.0%} of its peak before contact",
    "contact": "the ball touches the bat's sweet spot",
    "extension": "sum of the two elbow angles largest within 0.2 s after contact",
    "finish": f"first time after contact at which the bat turns slower than {STOPPED:.0f} degrees per second",
    "load_hands_back": "along the line, relative to the middle of the hips, from set_up to load",
    "load_head_travel": "distance in space of the middle of the ears, set_up to foot_down",
    "contact_head_travel": "distance in space of the middle of the ears, foot_down to contact",
    "setup_face": "head's forward direction seen from above against the line to the pitcher",
    "down_front_knee_inside": "share of the distance of the ankles along the line",
    "swing_elbow_line": "smallest distance of the rear elbow from the straight line hands - rear hip between swing_start and contact",
    "arm length": "upper arm plus forearm, joint to joint",
    "extension_reach": "hands to the middle of the shoulders, at extension",
    "finish_balance": "middle of the hips between the ankles along the line: 0 % over the rear ankle, 100 % over the front ankle",
    "frame": "nearest frame in time; exposures have their middle at the frame's time",
}


@dataclass
class Sampled:
    """Joints and bat over fine times: ``joints[name]`` [N,3], ``knob`` and ``barrel`` [N,3], ``face`` [N,3]."""

    time: np.ndarray
    joints: dict[str, np.ndarray]
    knob: np.ndarray
    barrel: np.ndarray
    face: np.ndarray
    miss: float

    def middle(self, joint: str) -> np.ndarray:
        """Middle between left and right of a joint, [N,3]."""
        return (self.joints[f"left_{joint}"] + self.joints[f"right_{joint}"]) / 2

    def at(self, time: float) -> int:
        """Index of the sample nearest to a time."""
        return int(np.abs(self.time - time).argmin())


def sample(play: Play, times: np.ndarray) -> Sampled:
    """The hitter at ``times``, in right-handed axes."""
    posed = [play.posed(float(time)) for time in times]
    names = posed[0].joints
    head = play.body.index("head")
    return Sampled(
        times,
        {name: np.array([p.joints[name] for p in posed]) for name in names},
        np.array([p.knob for p in posed]),
        np.array([p.barrel for p in posed]),
        np.array([p.rotations[head] @ [0, 0, 1.0] for p in posed]),
        max(p.miss for p in posed),
    )


def speed(path: np.ndarray, time: np.ndarray) -> np.ndarray:
    """Speed [N] of a path [N,3]."""
    return np.linalg.norm(np.gradient(path, time, axis=0), axis=1)


def flexion(s: Sampled, side: str, k: int) -> float:
    """Bend of a knee in degrees, 0 = straight."""
    hip, knee, ankle = (s.joints[f"{side}_{joint}"][k] for joint in ("hip", "knee", "ankle"))
    return _between(knee - hip, ankle - knee)


def _between(a: np.ndarray, b: np.ndarray) -> float:
    return float(np.degrees(np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b)))


def instants_of(s: Sampled, t: Timing) -> dict[str, float]:
    """Times in seconds of the seven instants of one swing."""
    contact = t.contact
    hands = s.middle("wrist") - s.middle("hip")
    hand_speed = speed(hands, s.time)
    down = _foot_down(s, contact)
    before = (s.time >= t.move - 0.3) & (s.time < down)
    load = s.time[before][hands[before, 0].argmin()]
    quiet = (
        (hand_speed < QUIET)
        & (speed(s.joints["left_ankle"], s.time) < QUIET)
        & (s.time < load - 0.1)
        & (s.time <= t.move + 0.35)
    )
    rising = (s.time > load) & (s.time <= contact)
    low = rising & (hand_speed < START_SHARE * hand_speed[rising].max())
    after = (s.time >= contact) & (s.time < contact + 0.2)
    straight = _elbows(s, after)
    return {
        "set_up": float(s.time[quiet][-1]),
        "load": float(load),
        "foot_down": down,
        "swing_start": float(s.time[low][-1]),
        "contact": contact,
        "extension": float(s.time[after][straight.argmax()]),
        "finish": _finish(s, contact),
    }


def _elbows(s: Sampled, some: np.ndarray) -> np.ndarray:
    """How straight both elbows are together at ``some`` samples, degrees; 0 straight, negative bent."""
    total = np.zeros(int(some.sum()))
    for side in ("left", "right"):
        shoulder, elbow, wrist = (s.joints[f"{side}_{joint}"][some] for joint in ("shoulder", "elbow", "wrist"))
        upper, fore = elbow - shoulder, wrist - elbow
        across = np.linalg.norm(np.cross(upper, fore), axis=1)
        total -= np.degrees(np.arctan2(across, (upper * fore).sum(axis=1)))
    return total


def _foot_down(s: Sampled, contact: float) -> float:
    toe, heel = s.joints["left_toe"], s.joints["left_heel"]
    height = np.minimum(toe[:, 1], heel[:, 1])
    rests = (height < 0.005) & (speed(toe, s.time) < RESTS)
    pulled = (height < PULLED) & (s.time > contact - PULLED_S)
    k = s.at(contact)
    while True:
        while rests[k - 1]:
            k -= 1
        before = k - 1
        while pulled[before] and not rests[before]:
            before -= 1
        if not rests[before]:
            return float(s.time[k])
        k = before


def _finish(s: Sampled, contact: float) -> float:
    axis = s.barrel - s.knob
    axis = axis / np.linalg.norm(axis, axis=1, keepdims=True)
    turn_speed = np.degrees(speed(axis, s.time))
    slow = (s.time > contact + 0.05) & (turn_speed < STOPPED)
    return float(s.time[slow][0])


def checkpoints_of(s: Sampled, when: dict[str, float], height: float, arm: float) -> dict[str, float]:
    """Values of the checkpoint book for one swing, by id."""
    k = {name: s.at(time) for name, time in when.items()}
    up, down, hit = k["set_up"], k["foot_down"], k["contact"]
    ankles = s.joints["left_ankle"] - s.joints["right_ankle"]
    shoulders = s.joints["left_shoulder"] - s.joints["right_shoulder"]
    hips = s.joints["left_hip"] - s.joints["right_hip"]
    ears, mid_hips, mid_shoulders, hands = s.middle("ear"), s.middle("hip"), s.middle("shoulder"), s.middle("wrist")
    foot = s.joints["left_toe"][down] - s.joints["left_heel"][down]
    axis = s.barrel[down] - s.knob[down]
    spacing = ankles[down, 0]
    end, reach = k["finish"], k["extension"]
    back = (hands - mid_hips)[:, 0]
    values = {
        "setup_base_width": np.linalg.norm(ankles[up]) / np.linalg.norm(shoulders[up]),
        "setup_front_knee": flexion(s, "left", up),
        "setup_rear_knee": flexion(s, "right", up),
        "setup_trunk_lean": _between(mid_shoulders[up] - mid_hips[up], np.array([0, 1.0, 0])),
        "setup_face": 90 - np.degrees(np.arctan2(s.face[up, 0], s.face[up, 2])),
        "load_hands_back": (back[up] - back[k["load"]]) / height * 100,
        "load_head_travel": np.linalg.norm(ears[down] - ears[up]) / height * 100,
        "down_front_knee": flexion(s, "left", down),
        "down_rear_knee": flexion(s, "right", down),
        "down_knee_balance": flexion(s, "left", down) - flexion(s, "right", down),
        "down_front_knee_inside": (s.joints["left_ankle"] - s.joints["left_knee"])[down, 0] / spacing * 100,
        "down_rear_knee_inside": (s.joints["right_knee"] - s.joints["right_ankle"])[down, 0] / spacing * 100,
        "down_hips_square": np.degrees(np.arctan2(-hips[down, 2], hips[down, 0])),
        "down_shoulders_square": np.degrees(np.arctan2(-shoulders[down, 2], shoulders[down, 0])),
        "down_head_centre": (ears - mid_hips)[down, 0] / height * 100,
        "down_foot_opening": np.degrees(np.arctan2(foot[0], foot[2])),
        "down_stride_length": np.hypot(ankles[down, 0], ankles[down, 2]) / height * 100,
        "down_bat_angle": np.degrees(np.arcsin(axis[1] / np.linalg.norm(axis))),
        "time_to_start": (when["swing_start"] - when["foot_down"]) * 1000,
        "start_to_contact": (when["contact"] - when["swing_start"]) * 1000,
        "down_to_contact": (when["contact"] - when["foot_down"]) * 1000,
        "swing_elbow_line": _elbow_line(s, k["swing_start"], hit, hands) / arm * 100,
        "contact_front_knee": flexion(s, "left", hit),
        "contact_head_travel": np.linalg.norm(ears[hit] - ears[down]) / height * 100,
        "extension_reach": np.linalg.norm(hands[reach] - mid_shoulders[reach]) / arm * 100,
        "finish_hands_height": (hands - mid_shoulders)[end, 1] / height * 100,
        "finish_balance": (mid_hips - s.joints["right_ankle"])[end, 0] / ankles[end, 0] * 100,
    }
    return {name: round(float(value), 3) for name, value in values.items()}


def _elbow_line(s: Sampled, start: int, hit: int, hands: np.ndarray) -> float:
    hip, elbow = s.joints["right_hip"][start:hit], s.joints["right_elbow"][start:hit]
    line = hands[start:hit] - hip
    off = np.linalg.norm(np.cross(elbow - hip, line), axis=1) / np.linalg.norm(line, axis=1)
    return float(off.min())


def extra_of(s: Sampled, when: dict[str, float], height: float) -> dict[str, float]:
    """Facts beside the book that help to test a measurement."""
    k = s.at(when["contact"])
    stride = s.joints["left_ankle"][s.at(when["foot_down"])] - s.joints["right_ankle"][s.at(when["foot_down"])]
    return {
        "bat_speed_at_contact_m_s": round(float(speed(s.barrel, s.time)[k]), 2),
        "stride_in": round(float(np.hypot(stride[0], stride[2]) / INCH), 2),
        "height_m": round(height, 4),
    }


def truth_of(film: Film, play: Play) -> dict[str, object]:
    """The whole truth file as plain data."""
    times = play.frame_times()
    shown = sample(play, times)
    height, arm = play.body.height, play.skeleton.upper["L"] + play.skeleton.fore["L"]
    swings = []
    for swing in film.timings:
        fine = sample(play, np.arange(swing.move - 0.4, min(swing.finish + 0.3, film.seconds), 1 / FINE))
        when = instants_of(fine, swing)
        swings.append(
            {
                "instants": {
                    name: {"time_s": round(time, 5), "frame": int(np.abs(times - time).argmin())}
                    for name, time in when.items()
                },
                "truth": checkpoints_of(fine, when, height, arm),
                "facts": extra_of(fine, when, height),
            }
        )
    return {
        "schema": 1,
        "axes": "field, metres, right-handed: x toward the pitcher, y up, z to the right seen by the catcher (away from a right-handed "
        "hitter, toward a left-handed one); origin: middle of the plate's front edge on the ground. Pixels: x right, y down, "
        "origin at the top left corner of the picture (middle of the first pixel = 0.5, 0.5).",
        "definitions": DEFINITIONS,
        "film": _film_facts(film, play, times),
        "swings": swings,
        "frames": _frames(film, play, shown),
        "sound_contact_s": [round(time, 5) for time in heard(film, play)] if film.sound else [],
        "sound_delay_s": [round(h - t.contact, 5) for h, t in zip(heard(film, play), film.timings, strict=True)]
        if film.sound
        else [],
        "speed_of_sound_m_s": SPEED_OF_SOUND,
        "largest_hand_miss_m": round(shown.miss, 5),
    }


def _film_facts(film: Film, play: Play, times: np.ndarray) -> dict[str, object]:
    camera = play.camera
    plate = np.stack([PLATE[:, 0], np.zeros(5), PLATE[:, 1]], 1)
    return {
        "name": film.name,
        "view": film.view,
        "hand": film.hand,
        "person": film.person,
        "fps": film.fps,
        "frames": len(times),
        "variable_rate": film.uneven > 0,
        "width": film.size[0],
        "height": film.size[1],
        "shutter_s": film.shutter_s,
        "ball": "tee" if film.toss is None else "tossed",
        "bystander": film.bystander is not None,
        "bat_length_m": film.bat_length,
        "camera": {
            "K": camera.matrix.round(4).tolist(),
            "R": camera.rotation.round(8).tolist(),
            "t": camera.shift.round(6).tolist(),
            "place": list(film.camera_at),
            "model": "pixel ~ K (R p + t); camera x right, y down, z ahead",
            "wobble": [play.wobbled(float(time)).round(9).tolist() for time in times] if film.wobble else None,
        },
        "plate_field": plate.round(5).tolist(),
        "plate_px": camera.project(plate).round(2).tolist(),
    }


def _frames(film: Film, play: Play, shown: Sampled) -> dict[str, object]:
    swap = {"left": "right", "right": "left"} if play.left_handed else {}
    camera = play.camera
    turns = np.array([play.wobbled(float(time)) for time in shown.time])

    def pixels(points: np.ndarray) -> list[list[float]]:
        flat = np.concatenate([camera.project(points), np.ones((len(points), 1))], 1)
        moved = np.einsum("fij,fj->fi", turns, flat)
        return (moved[:, :2] / moved[:, 2:]).round(2).tolist()

    joints = {}
    for name, path in shown.joints.items():
        side, _, rest = name.partition("_")
        joints[f"{swap.get(side, side)}_{rest}" if rest else name] = play.to_field(path)
    knob, barrel = play.to_field(shown.knob), play.to_field(shown.barrel)
    balls = [play.ball(float(time)) for time in shown.time]
    ball_px = [
        None if ball is None else pixels_one(camera, ball, turn) for ball, turn in zip(balls, turns, strict=True)
    ]
    return {
        "time_s": shown.time.round(6).tolist(),
        "joints_3d": {name: path.round(4).tolist() for name, path in joints.items()},
        "joints_px": {name: pixels(path) for name, path in joints.items()},
        "bat_3d": np.stack([knob, barrel], 1).round(4).tolist(),
        "bat_px": np.stack([pixels(knob), pixels(barrel)], 1).round(2).tolist(),
        "ball_px": ball_px,
    }


def pixels_one(camera: Camera, point: np.ndarray, turn: np.ndarray) -> list[float] | None:
    """Pixel of one field point, or None behind the camera."""
    seen = camera.rotation @ (point - camera.place)
    if seen[2] < 0.3:
        return None
    moved = turn @ np.append(camera.project(point), 1)
    return [round(float(v), 2) for v in moved[:2] / moved[2]]
