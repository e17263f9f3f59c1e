"""Key poses of a swing, in the right-handed hitter's own axes (see motion.py).

They are our own, after common coaching descriptions of a swing; no recording of a person was used. ``t`` are the swing's
times, ``m`` its manner, ``s`` the body's height against 1.78 m. Each function returns keys (time, value) by curve name.
"""

from __future__ import annotations

import numpy as np

from .manner import Manner, Timing

__all__ = ["HOLD_S", "RETURN_S", "hands_and_bat", "lower", "returning", "upper"]

HOLD_S = 0.30  # between two swings the finish is held
RETURN_S = 0.90  # and the stance taken up again
FOOT = 0.19  # metres from the heel to the ball at 1.78 m
Rows = list[tuple[float, object]]


def lower(t: Timing, m: Manner, s: float) -> dict[str, Rows]:
    """Feet, knees and pelvis."""
    base, stride = m.base * s, m.stride * s
    fx = base / 2
    hop = (t.down - t.load) * (0.5 + 0.22 * m.hover)
    middle = stride / 2
    late = t.contact - 0.11
    on = t.contact_to_finish / 0.42  # how long what follows contact takes, against the usual
    lead = m.hips_lead
    # The way from foot down to contact, against the usual 68 degrees of which two thirds are gone by 50 ms before contact. Hips that are
    # where they usually are keep the usual keys, however far they turn: clips of older numbers stay as they were drawn.
    far = 1.0 if m.hips_at_down == 4.0 else (m.contact_hips - m.hips_at_down) / 68.0
    drawn, tapped = fx - m.tap * s, t.load - 0.45 * t.move_to_load
    tap = m.tap > 0
    glide = min(m.glide, t.down - 0.005 - (t.load + hop) - 0.02)
    glide = glide if glide > 0.01 else 0.0
    ball_up = FOOT * s * float(np.sin(np.radians(max(-m.land_heel, 0.0))))  # on the heel the ball is still in the air
    return {
        "front_foot_x": [
            (t.move, fx),
            *([(tapped - 0.03, drawn), (tapped + 0.06, drawn)] if tap else []),
            (t.load, (drawn if tap else fx) - 0.02 * s),
            (t.load + hop, fx + stride * (0.6 + 0.25 * m.hover)),
            (t.down - 0.01, fx + stride),
            (t.finish, fx + stride),
        ],
        "front_foot_y": [
            (t.move, 0.0),
            *(
                [(t.move + 0.25 * (tapped - t.move), 0.02), (tapped - 0.03, 0.0), (tapped + 0.05, 0.0)]
                if tap
                else [(t.move + 0.12, 0.004)]
            ),
            (t.load, m.lift * s),
            (t.load + hop, m.lift * s * (0.72 + 0.28 * m.hover)),
            *([(t.down - 0.005 - glide, ball_up + 0.05 * m.lift * s)] if glide else []),
            (t.down - 0.005, ball_up),
            *([(t.down + m.settle, 0.0)] if ball_up else []),
            (t.finish, 0.0),
        ],
        "front_foot_yaw": [
            (t.move, m.setup_front_foot),
            (t.load, m.setup_front_foot - 2.0),
            (t.down - 0.03, m.opening),
            *([(t.contact, m.opening), (t.contact + 0.15 * on, m.opening + m.front_spin)] if m.front_spin else []),
            (t.finish, m.opening + m.front_spin),
        ],
        "front_foot_heel": [
            (t.move, 0.0),
            (t.move + (0.3 * (tapped - t.move) if tap else 0.15), 12.0),
            *([(tapped, 22.0)] if tap else []),
            (t.load, 14.0),
            (t.down - 0.06, m.land_heel + 2.0),
            (t.down, m.land_heel),
            (t.down + m.settle, 0.0),
            (t.finish, 0.0),
        ],
        "rear_foot_yaw": [
            (t.move, m.setup_rear_foot),
            (t.down, m.setup_rear_foot + 2.0),
            (late, m.setup_rear_foot + 11.0 * m.rear_spin),
            (t.contact, m.setup_rear_foot + 51.0 * m.rear_spin),
            (t.contact + 0.12 * on, m.setup_rear_foot + 69.0 * m.rear_spin),
            (t.finish, m.setup_rear_foot + 79.0 * m.rear_spin),
        ],
        "rear_foot_heel": [
            (t.move, 0.0),
            *([(t.load, 0.0)] if m.heel_at_down else []),
            (t.down + 0.01, m.heel_at_down),
            (late, max(7.0, m.heel_at_down)),
            (t.contact, m.heel * 0.74),
            (t.contact + 0.14 * on, m.heel * 0.92),
            (t.finish, m.heel),
        ],
        "rear_foot_x": [
            (t.move, -fx),
            (t.start, -fx),
            (t.contact, -fx + 0.7 * m.drag * s),
            (t.finish, -fx + m.drag * s),
        ],
        "front_knee_out": [(t.move, -6.0), (t.load, -22.0), (t.down, -8.0), (t.contact, 6.0), (t.finish, 18.0)],
        "rear_knee_out": [
            (t.move, 8.0),
            (t.load, 4.0),
            (t.down, m.down_rear_knee_out),
            (late, m.down_rear_knee_out + 8),
            (t.contact, 10.0),
            (t.finish, 2.0),
        ],
        "pelvis_x": [
            (t.move, 0.0),
            (t.load, -0.05 * s),
            (t.down, middle + m.down_shift * s),
            (t.contact, middle + (m.weight_shift + m.weight_at_contact - 0.03) * s),
            (t.finish, middle + m.weight_shift * s),
        ],
        "pelvis_z": [(t.move, -0.085 * s), (t.down, -0.08 * s), (t.contact, -0.02 * s), (t.finish, -0.01 * s)],
        "pelvis_yaw": [
            (t.move, m.setup_hips),
            (t.load, -m.coil),
            (t.down, m.hips_at_down),
            (t.start + 0.01 - lead, m.hips_at_down + 10.0 * far),
            (t.contact - 0.05 - lead, m.hips_at_down + 48.0 * far),
            (t.contact - 0.5 * lead, m.contact_hips),
            (t.contact + 0.12 * on, m.contact_hips + 12 * m.hips_on),
            (t.finish, m.contact_hips + 20 * m.hips_on),
        ],
        "pelvis_lean": [(t.move, m.lean), (t.down, m.lean + 2), (t.contact, m.contact_lean), (t.finish, m.finish_lean)],
        "pelvis_side": [(t.move, 0.0), (t.load, 4.0), (t.down, 1.0), (t.contact, m.hips_side), (t.finish, 2.0)],
    }


def upper(t: Timing, m: Manner, s: float) -> dict[str, Rows]:
    """Chest, head and where the elbows are pushed to."""
    drift, coil = (m.head_drift + m.head_set + m.head_down) * s, m.coil
    lean = 0.17 * s * m.lean / 17
    hit = t.contact
    on = t.contact_to_finish / 0.42
    up = np.array([0.0, m.rear_elbow_up, 0.0])
    carried = np.array([0.0, m.elbow_up_after, 0.0])
    return {
        "chest_yaw": [
            (t.move, m.setup_chest),
            (t.load, -10 - coil),
            (t.down, -8 - coil + m.chest_open),
            (t.start - m.chest_lead, -2 - coil + m.chest_open),
            (hit - 0.08 - m.chest_lead, 8.0 + 0.5 * m.chest_open),
            (hit - 0.5 * m.chest_lead, m.contact_chest),
            (hit + 0.06 * on, m.contact_chest + 26 * m.chest_on),
            (hit + 0.18 * on, m.contact_chest + 50 * m.chest_on),
            (t.finish, m.contact_chest + 58 * m.chest_on),
        ],
        "head_x": [
            (t.move, m.head_set * s),
            (t.load, (m.head_set - 0.02) * s),
            (t.down, drift),
            (hit, drift - (0.005 + m.head_back) * s),
            (hit + 0.2 * on, drift + (0.02 - m.head_back) * s),
            (t.finish, drift + 0.06 * s),
        ],
        "head_z": [(t.move, lean), (t.down, lean + 0.01 * s), (hit, lean * m.bow), (t.finish, lean * 0.55)],
        "face_yaw": [
            (t.move, m.face),
            (t.down, m.face - 2),
            (hit - 0.06, m.face - 8),
            (hit, m.face + m.face_at_contact),
            (hit + 0.08 * on, m.face + m.face_at_contact + 2),
            (t.finish, m.finish_face),
        ],
        "face_down": [
            (t.move, 6.0),
            (t.down, 9.0),
            (hit - 0.07, 20.0),
            (hit, 31.0),
            (hit + 0.07 * on, 29.0),
            (hit + 0.25 * on, 8.0),
            (t.finish, 2.0),
        ],
        "front_elbow": [
            (t.move, (0.3, -1, 0.35)),
            (t.start, (0.2, -1, 0.35)),
            (hit - 0.04, (0.35, -0.9, 0.1)),
            (hit, (0.9, -1.0, -0.1)),
            (hit + 0.07 * on, np.array((0.7, -1.0, -0.4)) + 0.6 * carried),
            (hit + 0.2 * on, np.array((0.8, -0.5, -0.7)) + 0.4 * carried),
            (t.finish, np.array((0.7, -0.45, -0.8)) + 0.4 * carried),
        ],
        "rear_elbow": [
            (t.move, np.array((-0.35, -0.9, -0.45)) + up),
            (t.load, np.array((-0.4, -0.7, -0.75)) + up),
            (t.start, np.array((-0.35, -0.8, -0.6)) + 0.8 * up),
            (hit - 0.07, (-0.35, -1, -0.2)),
            (hit, (-0.35, -1.0, 0.1)),
            (hit + 0.07 * on, (-0.1, -1.0, 0.3)),
            (t.finish, (0.45, -1.0, 0.3)),
        ],
    }


def hands_and_bat(t: Timing, m: Manner, s: float) -> dict[str, Rows]:
    """Grip and bat. Azimuth: 0 at the plate, 90 at the pitcher, -90 at the catcher."""
    hit, quick = t.contact - m.meets, (t.start_to_contact - m.drive) / 0.155
    on = t.contact_to_finish / 0.42
    h, far = m.hands_height, m.hands_height + m.load_height
    # Azimuth: 0 at the plate, 90 at the pitcher, -90 at the catcher. Grip about the chest: azimuth, radius, height.
    back = 0.30 + m.hands_back
    wait = min(t.down, t.start - 0.045)  # the hands may go before the foot is down
    load = t.load + m.hands_load_late
    lowered, around = min(m.finish_height + 0.08, 0.0), m.finish_around - 150.0
    grip = [
        (t.move, (m.hands_wait, 0.30, -0.05 + h)),
        (load, (m.hands_load, back, -0.01 + far)),
        (wait, (m.hands_load + 1.0, back - 0.08, -0.015 + far)),
        (t.start - 0.014, (m.hands_load + 2.0, back - 0.085, -0.02 + far)),
        (hit - 0.125 * quick, (-81.0, back * 0.4 + 0.16 + 0.5 * m.cast, -0.065 + h * 0.8)),
        (hit - 0.09 * quick, (-62.0, 0.32 + m.cast, -0.15 + h * 0.6)),
        (hit - 0.045 * quick, (-20.0, 0.40 + m.cast, -0.28)),
        (hit, (27.0, 0.51 + m.reach - 0.7 * m.bent, -0.35)),
        (hit + 0.03 * on, (44.0, 0.57 + m.reach - m.bent, -0.33)),
        (hit + 0.065 * on, (60.0, 0.60 + m.reach - m.bent, -0.25)),
        (hit + 0.13 * on, (97.0, 0.52 - 0.8 * m.bent, -0.07 + 0.3 * lowered)),
        (
            hit + 0.22 * on,
            (132.0 + 0.8 * around, 0.40 - 0.4 * m.bent + 0.7 * (m.finish_out - 0.36), m.finish_height * 0.8),
        ),
        (t.finish, (m.finish_around, m.finish_out, m.finish_height)),
    ]
    low = m.tilt_at_contact
    bat = [
        (t.move, (m.bat_wait, m.bat_up)),
        (load, (m.bat_wrap, m.bat_up + 2)),
        (t.start, (m.bat_wrap + 6.0, m.bat_up - 5)),
        (hit - 0.09 * quick, (-124.0, 26.0)),
        (hit - 0.055 * quick, (-92.0, -3.0)),
        (hit - 0.03 * quick, (-56.0, low * 0.85)),
        (hit, (0.0, low)),
        (hit + 0.026 * quick, (46.0, low * 0.9)),
        (hit + 0.058 * quick * on, (92.0, low * 0.4)),
        (hit + 0.11 * quick * on, (156.0, 12.0)),
        (hit + 0.18 * quick * on, (208.0, 26.0)),
        (hit + 0.28 * on, (238.0 + 0.8 * (m.finish_bat - 250.0), 12.0 + 0.7 * (m.finish_bat_up + 6.0))),
        (t.finish, (m.finish_bat, m.finish_bat_up)),
    ]
    leaves = t.contact + m.lets_go_after
    return {
        "grip": [(time, (az, r * s, y * s)) for time, (az, r, y) in grip],
        "bat": bat,
        "let_go": [(t.move, 0.0), (leaves, 0.0), (leaves + 0.17, m.lets_go * s)],
    }


def returning(name: str, t: Timing, rows: Rows, s: float) -> Rows:
    """From the held finish back into the stance, for another swing: the front foot steps, the bat comes round in front."""
    held, back = t.finish + HOLD_S, t.finish + HOLD_S + RETURN_S
    keys = [(held, rows[-1][1]), (back, rows[0][1])]
    if name == "front_foot_y":
        keys.insert(1, ((held + back) / 2, 0.07 * s))
    if name == "front_foot_x":
        keys = [(held + 0.12, rows[-1][1]), (back - 0.12, rows[0][1])]
    if name == "front_foot_heel":
        keys.insert(1, ((held + back) / 2, 12.0))
    if name == "bat":
        keys.insert(1, ((held + back) / 2, (70.0, 38.0)))
    if name == "grip":
        keys.insert(1, ((held + back) / 2, (45.0, 0.42 * s, -0.20 * s)))
    return keys
