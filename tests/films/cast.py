"""The films: invented people, places and swings."""

from __future__ import annotations

from .clothes import Outfit
from .figure import Light
from .film import Film
from .motion import Manner, Timing
from .scene import Place

__all__ = ["FILMS"]

MAN = {"gender": 0.0, "age": 0.67, "muscle": 0.62, "weight": 0.48, "height": 0.38, "proportions": 0.6}
WOMAN = {"gender": 1.0, "age": 0.67, "muscle": 0.62, "weight": 0.47, "height": 0.42, "proportions": 0.6}
BOY = {"gender": 0.1, "age": 0.35, "muscle": 0.5, "weight": 0.47, "height": 0.40, "proportions": 0.5}
GIRL = {"gender": 0.9, "age": 0.35, "muscle": 0.5, "weight": 0.45, "height": 0.46, "proportions": 0.5}

maple = Film(
    name="maple_right_chest", person="adult", hand="right", view="chest_side", shape=MAN,
    timings=(Timing(contact=2.217, down_to_contact=0.20, start_to_contact=0.155),),
    camera_at=(-0.05, 1.35, 4.75), camera_to=(-0.12, 0.98, -0.85), camera_angle=47.0, seconds=4.0, toss=11.0,
)

willow = Film(
    name="willow_left_chest", person="adult", hand="left", view="chest_side", shape=WOMAN,
    timings=(Timing(contact=2.083, down_to_contact=0.175, start_to_contact=0.165, load_to_down=0.26, move_to_load=0.55),),
    camera_at=(-0.25, 1.42, -4.55), camera_to=(-0.15, 0.93, 0.85), camera_angle=47.0, seconds=3.8,
    outfit=Outfit(skin=(0.55, 0.38, 0.28), hair=(0.07, 0.05, 0.04), shirt=(0.16, 0.32, 0.60), trousers=(0.34, 0.36, 0.40), socks=(0.62, 0.63, 0.64),
                  shoes=(0.62, 0.62, 0.64), gloves=(0.55, 0.55, 0.57), helmet=(0.10, 0.10, 0.12), belt=(0.05, 0.05, 0.06), trouser_end=0.90,
                  sleeves=(0.08, 0.09, 0.12)),
    manner=Manner(base=0.66, stride=0.15, lift=0.07, opening=42.0, setup_rear_knee=42.0, load_rear_knee=46.0, down_rear_knee=50.0, contact_front_knee=22.0,
                  finish_front_knee=14.0, lean=21.0, head_drift=0.03, face=74.0, hands_back=0.07, bat_up=42.0, coil=10.0, down_shift=-0.02, down_rear_knee_out=4.0, contact_hips=66.0,
                  finish_height=0.13, phase=1.2),
    place=Place(kind="cage", grass=(0.15, 0.34, 0.20), clay=(0.20, 0.21, 0.22), fence=7.0, seed=5),
    light=Light(sun=(-0.25, 0.95, -0.35), sun_strength=0.62, sun_colour=(1.0, 0.97, 0.92), sky_strength=0.5, ambient=0.26, bounce_strength=0.26),
    bat_length=0.81, bat_colour=(0.17, 0.19, 0.22), bat_tape=(0.55, 0.10, 0.12), ball_speed=29.0, launch=9.0, shutter_s=1 / 160, seed=2,
)

cedar = Film(
    name="cedar_right_back", person="adult", hand="right", view="back_side", shape={**MAN, "weight": 0.58, "muscle": 0.55, "height": 0.34},
    timings=(Timing(contact=1.842, down_to_contact=0.255, start_to_contact=0.15, load_to_down=0.20, move_to_load=0.48),),
    camera_at=(-0.45, 1.55, -6.1), camera_to=(-0.12, 0.93, -0.9), camera_angle=46.0, fps=120.0, seconds=3.5,
    outfit=Outfit(skin=(0.84, 0.66, 0.55), hair=(0.40, 0.27, 0.14), shirt=(0.86, 0.85, 0.80), trousers=(0.19, 0.21, 0.27), socks=(0.72, 0.35, 0.10),
                  shoes=(0.12, 0.11, 0.11), gloves=(0.70, 0.34, 0.10), helmet=(0.72, 0.35, 0.10), belt=(0.70, 0.34, 0.10), trouser_end=0.45, sleeve_end=0.95),
    manner=Manner(base=0.50, stride=0.29, lift=0.17, opening=18.0, setup_rear_knee=24.0, load_rear_knee=36.0, down_rear_knee=52.0, contact_front_knee=9.0,
                  finish_front_knee=5.0, lean=14.0, head_drift=0.09, face=66.0, hands_back=0.10, hands_height=0.03, bat_up=62.0, coil=20.0, down_shift=-0.085,
                  contact_hips=76.0, contact_chest=60.0, finish_height=0.08, phase=2.2),
    place=Place(clay=(0.44, 0.30, 0.21), trees=(0.20, 0.30, 0.12), grass=(0.30, 0.42, 0.16), sky=(0.50, 0.58, 0.74), horizon=(0.93, 0.80, 0.62), seed=9,
                warmth=0.07, fence=9.5, fence_height=2.6, clay_radius=3.6),
    light=Light(sun=(-0.62, 0.55, -0.45), sun_colour=(1.0, 0.88, 0.70), sun_strength=0.95, sky_strength=0.36),
    toss=12.5, ball_speed=36.0, launch=17.0, shutter_s=1 / 320, quality=25, seed=3,
    bystander={"shape": {**WOMAN, "height": 0.36}, "at": (2.6, 3.3), "yaw": 205.0,
               "outfit": Outfit(skin=(0.80, 0.60, 0.48), shirt=(0.90, 0.90, 0.88), trousers=(0.30, 0.38, 0.52), gloves=(0.80, 0.60, 0.48),
                                helmet=(0.25, 0.27, 0.30), trouser_end=0.95, flap=False)},
)

aspen = Film(
    name="aspen_left_back_child", person="child", hand="left", view="back_side", shape=GIRL,
    timings=(Timing(contact=2.133, down_to_contact=0.165, start_to_contact=0.205, load_to_down=0.28, move_to_load=0.60),),
    camera_at=(-0.05, 1.25, 5.4), camera_to=(-0.10, 0.74, 0.8), camera_angle=40.0, seconds=3.8,
    outfit=Outfit(skin=(0.72, 0.52, 0.40), hair=(0.10, 0.07, 0.05), shirt=(0.93, 0.74, 0.16), trousers=(0.16, 0.17, 0.20), socks=(0.90, 0.72, 0.16),
                  shoes=(0.80, 0.80, 0.82), gloves=(0.12, 0.12, 0.13), helmet=(0.14, 0.15, 0.18), trouser_end=0.5),
    manner=Manner(base=0.52, stride=0.13, lift=0.06, opening=55.0, setup_rear_knee=17.0, load_rear_knee=24.0, down_rear_knee=33.0, contact_front_knee=26.0,
                  finish_front_knee=16.0, lean=12.0, head_drift=0.12, face=58.0, hands_back=0.05, hands_height=-0.03, bat_up=36.0, coil=8.0,
                  contact_hips=62.0, contact_chest=56.0, down_shift=0.01, down_rear_knee_out=-6.0, weight_shift=0.05, finish_height=0.04, heel=52.0, sway=0.009, phase=0.7),
    place=Place(kind="cage", grass=(0.17, 0.37, 0.19), clay=(0.30, 0.16, 0.13), wall=(0.56, 0.53, 0.48), fence=6.4, posts=2.3, seed=12, warmth=0.02),
    light=Light(sun=(0.3, 0.95, 0.25), sun_strength=0.60, sky_strength=0.5, ambient=0.27, bounce_strength=0.26),
    bat_length=0.71, bat_colour=(0.75, 0.76, 0.78), bat_tape=(0.10, 0.25, 0.55), ball_speed=20.0, launch=8.0, shutter_s=1 / 120, seed=4,
)

hazel = Film(
    name="hazel_child_two_swings", person="child", hand="right", view="chest_side", shape=BOY,
    timings=(Timing(contact=1.517, down_to_contact=0.215, start_to_contact=0.19, load_to_down=0.22, move_to_load=0.50),
             Timing(contact=4.283, down_to_contact=0.19, start_to_contact=0.195, load_to_down=0.25, move_to_load=0.52)),
    camera_at=(-0.25, 1.30, 4.15), camera_to=(-0.12, 0.75, -0.7), camera_angle=44.0, seconds=5.5,
    outfit=Outfit(skin=(0.45, 0.30, 0.21), hair=(0.05, 0.04, 0.03), shirt=(0.12, 0.45, 0.36), trousers=(0.74, 0.74, 0.72), socks=(0.12, 0.42, 0.34),
                  shoes=(0.10, 0.10, 0.11), gloves=(0.85, 0.85, 0.86), helmet=(0.10, 0.36, 0.30), trouser_end=0.40),
    manner=Manner(base=0.62, stride=0.17, lift=0.10, opening=34.0, setup_rear_knee=28.0, load_rear_knee=33.0, down_rear_knee=38.0, contact_front_knee=18.0,
                  finish_front_knee=10.0, lean=19.0, head_drift=0.06, face=68.0, hands_back=0.08, bat_up=50.0, coil=13.0, contact_hips=70.0,
                  finish_height=0.09, sway=0.008, phase=2.9),
    place=Place(clay=(0.55, 0.38, 0.26), trees=(0.15, 0.27, 0.16), grass=(0.26, 0.42, 0.18), sky=(0.66, 0.71, 0.78), horizon=(0.80, 0.83, 0.86), seed=21,
                fence=10.0, fence_height=2.2, posts=2.5),
    light=Light(sun=(0.25, 0.9, 0.3), sun_strength=0.55, sky_strength=0.6, ambient=0.27, sun_colour=(0.96, 0.97, 1.0)),
    bat_length=0.71, bat_colour=(0.62, 0.12, 0.12), ball_speed=19.0, launch=12.0, wobble=0.32, quality=26, seed=6,
)

birch = Film(
    name="birch_right_catcher", person="adult", hand="right", view="catcher_side", shape={**MAN, "height": 0.42, "muscle": 0.66, "weight": 0.45},
    timings=(Timing(contact=2.050, down_to_contact=0.225, start_to_contact=0.145, load_to_down=0.24, move_to_load=0.52),),
    camera_at=(-6.1, 1.45, 0.25), camera_to=(0.0, 0.95, -0.62), camera_angle=42.0, seconds=3.8,
    outfit=Outfit(skin=(0.62, 0.44, 0.33), hair=(0.08, 0.06, 0.05), shirt=(0.24, 0.25, 0.28), trousers=(0.82, 0.81, 0.78), socks=(0.40, 0.10, 0.14),
                  shoes=(0.10, 0.09, 0.09), gloves=(0.40, 0.10, 0.14), helmet=(0.40, 0.10, 0.14), belt=(0.40, 0.10, 0.14), trouser_end=0.92),
    manner=Manner(base=0.60, stride=0.24, lift=0.13, opening=26.0, setup_rear_knee=36.0, load_rear_knee=42.0, down_rear_knee=46.0, contact_front_knee=12.0,
                  lean=18.0, head_drift=0.055, face=72.0, bat_up=50.0, coil=15.0, finish_height=0.12, phase=0.3),
    place=Place(seed=30, fence=13.0, fence_height=3.4, clay_radius=4.6, trees=(0.15, 0.30, 0.17)),
    light=Light(sun=(-0.5, 0.75, 0.45)), toss=13.0, ball_speed=35.0, launch=15.0, shutter_s=1 / 240, seed=7,
)

rowan = Film(
    name="rowan_right_chest_uneven", person="adult", hand="right", view="chest_side", shape={**WOMAN, "height": 0.5, "weight": 0.52},
    timings=(Timing(contact=2.120, down_to_contact=0.205, start_to_contact=0.170, load_to_down=0.23, move_to_load=0.5),),
    camera_at=(0.55, 1.5, 5.3), camera_to=(-0.10, 0.95, -0.9), camera_angle=45.0, fps=30.0, uneven=0.35, seconds=3.9,
    outfit=Outfit(skin=(0.86, 0.69, 0.58), hair=(0.45, 0.22, 0.10), shirt=(0.36, 0.20, 0.46), trousers=(0.78, 0.78, 0.79), socks=(0.30, 0.17, 0.40),
                  shoes=(0.84, 0.84, 0.86), gloves=(0.16, 0.16, 0.18), helmet=(0.28, 0.16, 0.36), trouser_end=0.5),
    manner=Manner(base=0.55, stride=0.20, lift=0.12, opening=32.0, setup_rear_knee=30.0, load_rear_knee=37.0, down_rear_knee=42.0, contact_front_knee=17.0,
                  lean=16.0, head_drift=0.07, face=70.0, bat_up=58.0, coil=12.0, finish_height=0.07, phase=1.9),
    place=Place(seed=41, fence=11.0, fence_height=2.4, clay=(0.47, 0.33, 0.24), clay_radius=5.2),
    light=Light(sun=(-0.45, 0.72, 0.5), sun_strength=0.9), toss=11.0, bat_length=0.82, bat_colour=(0.30, 0.42, 0.62), ball_speed=29.0, shutter_s=1 / 125, seed=8,
)

FILMS = {film.name: film for film in (maple, willow, cedar, aspen, hazel, birch, rowan)}
