"""Foot down: the stride foot rests on the ground and stays until contact."""

from __future__ import annotations

from typing import Final

from analysis.read.checkpoint import Checkpoint, same_band
from analysis.read.geometry import Samples, flat_distance, heading
from analysis.read.perturbed_swing import PerturbedSwing
from analysis.read.terms import SIDE_VIEWS


def down_knee_balance(m: PerturbedSwing) -> Samples:
    """Bend of the front knee less that of the rear one, degrees [S]."""
    pose = m.at("foot_down")
    return pose.knee_bend("front") - pose.knee_bend("rear")


def knee_inside(m: PerturbedSwing, end: str) -> Samples:
    """The "front" or "rear" knee inside its ankle, along the line, % of the feet's distance [S]; negative outside."""
    pose = m.at("foot_down")
    ahead = (pose[f"{end}_knee"] - pose[f"{end}_ankle"])[:, 0]
    return 100.0 * (ahead if end == "rear" else -ahead) / pose.stride()[:, 0]


def head_centre(m: PerturbedSwing) -> Samples:
    """Middle of the ears ahead of mid-hips, % of standing height [S]; negative behind."""
    pose = m.at("foot_down")
    return 100.0 * (pose["ears"] - pose["hips"])[:, 0]


def foot_opening(m: PerturbedSwing) -> Samples:
    """Heel to toe of the front foot, seen from above, degrees [S]; 0 = square to the line, 90 = at the pitcher."""
    pose = m.at("foot_down")
    return 90.0 - heading(pose["front_toe"] - pose["front_heel"])


CHECKPOINTS: Final = (
    Checkpoint(
        id="down_front_knee",
        instants=("foot_down",),
        name="Front knee bend",
        unit="°",
        definition="Bend of the front knee when the foot comes down; 0 = straight leg.",
        bands=same_band(15.0, 50.0),
        scale=(0.0, 90.0),
        good_words="The front knee lands softly bent.",
        sides=("too straight", "too bent"),
        low_words="Land on a soft front knee, like stepping onto thin ice.",
        high_words="Land on a front leg that is soft but holds you up, and does not sink.",
        why="A landing that is soft, and still holds, keeps the weight back until the pitch is seen.",
        measure=lambda m: m.at("foot_down").knee_bend("front"),
    ),
    Checkpoint(
        id="down_rear_knee",
        instants=("foot_down",),
        name="Rear knee bend",
        unit="°",
        definition="Bend of the rear knee when the foot comes down; 0 = straight leg.",
        bands=same_band(18.0, 55.0),
        scale=(0.0, 90.0),
        good_words="The rear knee stays loaded when the foot lands.",
        sides=("too straight", "too bent"),
        low_words="Keep the rear knee bent until the front foot is down.",
        high_words="Stay a little taller on the rear leg, and do not sink while the foot steps.",
        why="A softly bent rear leg can drive the swing; a straight one has nothing left to push with, and a deep one is slow.",
        measure=lambda m: m.at("foot_down").knee_bend("rear"),
    ),
    Checkpoint(
        id="down_knee_balance",
        instants=("foot_down",),
        name="Even knee bend",
        unit="°",
        definition="Bend of the front knee minus bend of the rear knee; 0 = both alike.",
        bands=same_band(-15.0, 15.0),
        scale=(-60.0, 60.0),
        good_words="Both knees share the work when the foot lands.",
        sides=("front knee straighter", "front knee more bent"),
        low_words="Let the front knee bend as much as the rear one when you land, the weight in the middle.",
        high_words="Keep the rear knee bent as much as the front one when you land, the weight in the middle.",
        why="Equal knees mean balance: from there a hitter can still wait or go.",
        measure=down_knee_balance,
    ),
    Checkpoint(
        id="down_front_knee_inside",
        instants=("foot_down",),
        name="Front knee inside its foot",
        unit="% of foot spacing",
        definition="How far the front knee is inside (+) or outside (−) its own foot, along the line to the pitcher.",
        views=SIDE_VIEWS,
        bands=same_band(0.0, 35.0),
        scale=(-30.0, 60.0),
        good_words="The front knee stays inside the front foot.",
        sides=("leaning out", "caved in"),
        low_words="Keep the front knee inside the front foot when it lands.",
        high_words="Let the front knee come out over the front foot when it lands, and not cave in.",
        why="A knee a little inside its foot holds the body, so the hips can turn against it; one that leans out or caves in gives way.",
        measure=lambda m: knee_inside(m, "front"),
    ),
    Checkpoint(
        id="down_rear_knee_inside",
        instants=("foot_down",),
        name="Rear knee inside its foot",
        unit="% of foot spacing",
        definition="How far the rear knee is inside (+) or outside (−) its own foot, along the line to the pitcher.",
        views=SIDE_VIEWS,
        bands=same_band(0.0, 40.0),
        scale=(-30.0, 60.0),
        good_words="The rear knee stays inside the rear foot.",
        sides=("leaning out", "caved in"),
        low_words="Keep the rear knee inside the rear foot; do not let it drift back toward the catcher.",
        high_words="Keep the rear knee over the rear foot until the front foot is down; do not let it collapse inward.",
        why="A knee a little inside its foot can push toward the pitcher at once; one that leans out or caves in has to come back first.",
        measure=lambda m: knee_inside(m, "rear"),
    ),
    Checkpoint(
        id="down_hips_square",
        instants=("foot_down",),
        name="Hips square",
        unit="°",
        definition="Rear-to-front hip line against the line to the pitcher, seen from above; 0 = parallel, + = opened toward the pitcher.",
        bands=same_band(-10.0, 25.0),
        scale=(-60.0, 90.0),
        good_words="The hips are still about square when the foot lands.",
        sides=("turned in too far", "opened too early"),
        low_words="Let the hips come back toward square as the foot lands, and do not stay wound up.",
        high_words="Land first, turn after: keep the belt buckle facing the plate until the foot is down.",
        why="Square hips can turn at full speed when the ball arrives; wound up they come late, and open they have spent it.",
        measure=lambda m: m.at("foot_down").opened("hip"),
    ),
    Checkpoint(
        id="down_shoulders_square",
        instants=("foot_down",),
        name="Shoulders square",
        unit="°",
        definition=(
            "Rear-to-front shoulder line against the line to the pitcher, seen from above; 0 = parallel, + = opened toward the "
            "pitcher."
        ),
        bands=same_band(-30.0, 12.0),
        scale=(-75.0, 75.0),
        good_words="The front shoulder still points at the pitcher when the foot lands.",
        sides=("turned in too far", "opened too early"),
        low_words="Turn the front shoulder in a little less, so that it points at the pitcher when the foot lands.",
        high_words="Keep the front shoulder pointing at the pitcher until the foot is down.",
        why="A front shoulder that points at the pitcher keeps hands back and eyes on the ball; turned in too far, it hides the ball.",
        measure=lambda m: m.at("foot_down").opened("shoulder"),
    ),
    Checkpoint(
        id="down_head_centre",
        instants=("foot_down",),
        name="Head over the middle",
        unit="% of height",
        definition="Middle of the ears ahead of mid-hips, along the line to the pitcher; 0 = straight above.",
        views=SIDE_VIEWS,
        bands=same_band(-8.0, 5.0),
        scale=(-25.0, 25.0),
        good_words="The head stays over the middle of the hips.",
        sides=("too far back", "too far forward"),
        low_words="Let the head come forward over the belt buckle as you stride, and do not lean back.",
        high_words="Stride under the head, not with it: keep it over the belt buckle.",
        why="A centered head keeps you balanced for a pitch that is slower than you expect.",
        measure=head_centre,
    ),
    Checkpoint(
        id="down_foot_opening",
        instants=("foot_down",),
        name="Front foot angle",
        unit="°",
        definition=(
            "Front foot's heel-to-toe axis, seen from above; 0 = at right angles to the line to the pitcher, 90 = toes at the "
            "pitcher. Meant for a foot that stands flat."
        ),
        bands=same_band(None, 45.0),
        scale=(-30.0, 110.0),
        good_words="The front foot lands closed enough to hold the hips.",
        sides=("too closed", "too open"),
        low_words="Let the front toes turn out a little as you land, as far as is comfortable.",
        high_words="Land with the front toes turned no more than halfway to the pitcher.",
        why="A foot that opens too far lets the hips fly open, and one that lands shut holds them: either takes strength out of the swing.",
        measure=foot_opening,
    ),
    Checkpoint(
        id="down_stride_length",
        instants=("foot_down",),
        name="Length of the stride",
        unit="% of height",
        definition="Distance between the ankles on the ground when the foot comes down.",
        views=SIDE_VIEWS,
        bands={"child": (28.0, 58.0), "youth": (30.0, 60.0), "adult": (32.0, 62.0)},
        scale=(10.0, 90.0),
        good_words="The stride has a good length, with room to turn.",
        sides=("too short", "too long"),
        low_words="Take a step that is a little longer, and still one from which you could stop and stand.",
        high_words="Take a shorter step, one from which you could stop and stand still.",
        why="Too long a stride locks the hips, too short a one gives nothing to turn against.",
        measure=lambda m: 100.0 * flat_distance(m.at("foot_down").stride()),
    ),
    Checkpoint(
        id="down_bat_angle",
        instants=("foot_down",),
        name="Angle of the bat",
        unit="°",
        definition="Knob to barrel above the horizontal; 0 = flat, 90 = straight up.",
        bands=same_band(20.0, 80.0),
        scale=(-60.0, 90.0),
        good_words="The barrel is still up when the foot lands.",
        sides=("too flat", "too steep"),
        low_words="Keep the barrel up over the rear shoulder until the foot is down.",
        high_words="Let the barrel lie back a little over the rear shoulder as the foot comes down.",
        why="A bat that is flat too early must sweep around, and one too steep has far to go; in between it drops straight to the ball.",
        measure=lambda m: m.bat_elevation("foot_down"),
    ),
)
