"""Every checkpoint that is measured, on either side of its band, for either hand: the sentence that is drafted and the drill
that is offered first push the right way. The table was read by eye; a line of it says what helps against that side.
"""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from portal.drills.diagram_svg import described, drawing
from portal.drills.fitting import BOTH, SIDES, Fit, best_first, fit
from portal.drills.library import shipped
from portal.drills.models import Drill
from portal.measuring.door import CHECKPOINTS, checkpoint, missed

ROOT = Path(__file__).resolve().parents[3]
DRILLS = [Drill(**entry) for entry in shipped()]

# checkpoint: (too little: words that the sentence holds, the first drill, words that a step of it holds), (too much: …)
TABLE = {
    "setup_base_width": (
        ("wider than the shoulders", "feet-on-the-ground", "Stand a little wider than usual"),
        ("closer together", "across-the-brook", "both feet a little wider than your shoulders"),
    ),
    "setup_front_knee": (
        ("Soften the front knee", "soft-knees-both", "how both knees bend"),
        ("taller on the front leg", "tape-on-the-wall", "Come up until it is level"),
    ),
    "setup_rear_knee": (
        ("Soften the rear knee", "bow-to-the-plate", "Push your seat back"),
        ("taller on the rear leg", "tape-on-the-wall", "Come up until it is level"),
    ),
    "setup_trunk_lean": (
        ("Bend a little from the hips", "bow-to-the-plate", "touch your legs above the knees"),
        ("Come up a little from the hips", "tape-on-the-wall", "lean a little from the hips. A partner tapes the wall"),
    ),
    "setup_face": (
        ("back a little toward the plate", "point-with-your-nose", "“plate” or “past”"),
        ("toward the front shoulder", "two-eyes-roll-call", "turn your face until you can"),
    ),
    "load_hands_back": (
        ("Let the hands go back a hand's width", "slow-drawer", "on the pitcher’s side of you, and the knob of your bat is its handle"),
        ("go back only a hand's width", "a-hand-from-the-net", "stop before they touch the net"),
    ),
    "load_head_travel": (
        ("Let the head go along", "easy-neck", "Let your head come along with the step"),
        ("leave the head where it is", "thin-ice", "Your nose is still over your belt"),
    ),
    "down_front_knee": (
        ("soft front knee", "thin-ice", "Step as if onto thin ice"),
        ("does not sink", "tape-on-the-wall", "has sunk no more than a hand"),
    ),
    "down_rear_knee": (
        ("Keep the rear knee bent", "soft-knees-both", "how both knees bend"),
        ("taller on the rear leg", "tape-on-the-wall", "has sunk no more than a hand"),
    ),
    "down_knee_balance": (
        ("front knee bend as much as the rear one", "soft-knees-both", "how both knees bend"),
        ("rear knee bent as much as the front one", "soft-knees-both", "how both knees bend"),
    ),
    "down_front_knee_inside": (
        ("inside the front foot", "between-two-cones", "both knees are inside your shoes"),
        ("come out over the front foot", "over-the-laces", "Push it out until it covers them"),
    ),
    "down_rear_knee_inside": (
        ("inside the rear foot", "between-two-cones", "both knees are inside your shoes"),
        ("do not let it collapse inward", "over-the-laces", "Now the rear knee, the same way"),
    ),
    "down_hips_square": (
        ("come back toward square", "signpost", "or at the plate, or past them? Turn until it does"),
        ("turn after", "far-side-tee", "Step straight, not toward the tee"),
    ),
    "down_shoulders_square": (
        ("Turn the front shoulder in a little less", "signpost", "or at the plate, or past them? Turn until it does"),
        ("Keep the front shoulder pointing at the pitcher", "letter-on-the-chest", "only the foot goes, belt and shirt stay"),
    ),
    "down_head_centre": (
        ("Let the head come forward", "plumb-line", "“come forward”"),
        ("Stride under the head", "thin-ice", "Your nose is still over your belt"),
    ),
    "down_foot_opening": (
        ("toes turn out a little", "slice-of-cake", "Your toes lie in the slice"),
        ("no more than halfway", "land-on-the-chalk", "Turn your toes until they look at the plate"),
    ),
    "down_stride_length": (
        ("a little longer", "across-the-brook", "one shoe apart: that is a brook"),
        ("shorter step", "between-two-cones", "Take a short step, one shoe long"),
    ),
    "down_bat_angle": (
        ("Keep the barrel up", "flagpole", "no part of the bat lies flat"),
        ("lie back a little", "ladder-on-the-house", "Let the barrel lean back"),
    ),
    "time_to_start": (
        ("Start the step earlier", "down-breathe-hit", "Breathe in once"),
        ("Step a little later", "two-quick-claps", "Step later than usual"),
    ),
    "start_to_contact": (
        ("take its time", "half-speed", "at half speed"),
        ("shortest path", "short-and-quick", "Bring the knob to the ball first"),
    ),
    "down_to_contact": (
        ("Start the step earlier", "down-breathe-hit", "Breathe in once"),
        ("a little later", "two-quick-claps", "Step later than usual"),
    ),
    "contact_front_knee": (
        ("Keep a little softness", "nothing-locked", "soften it a little"),
        ("firm into the ground", "long-front-leg", "push the ground away with your front heel"),
    ),
    "contact_head_travel": (
        ("need not be held stiff", "easy-neck", "Nothing in your neck is hard"),
        ("down and still", "far-side-tee", "Watch the tee, not the ball"),
    ),
    "swing_elbow_line": (
        ("a little room", "half-speed", "a fist between your rear elbow and your ribs"),
        ("drop to the rear hip", "elbow-to-the-pocket", "Let your elbow drop"),
    ),
    "extension_reach": (
        ("let both arms get long", "two-balls-in-a-row", "Both arms get long over the cup"),
        ("without locking", "nothing-locked", "the elbows give a little"),
    ),
    "finish_hands_height": (
        ("up at the front shoulder", "statue", "hands at your shoulder or higher"),
        ("not far above it", "coat-on-the-hook", "hang them there"),
    ),
    "finish_balance": (
        ("come off the rear leg", "statue", "belt over both feet"),
        ("falling onto the front foot", "statue", "belt over both feet"),
    ),
}  # fmt: skip
ROWS = [(name, side, *row) for name, rows in TABLE.items() for side, row in zip(SIDES, rows, strict=True)]


def reading(entry, side):
    """A reading that surely lies on this side of a band that is closed at both ends, as a camp may close it."""
    low, high = entry.scale
    quarter = (high - low) / 4
    value = low + quarter / 2 if side == "low" else high - quarter / 2
    return {"interval": [value - quarter / 8, value + quarter / 8], "band": [low + quarter, high - quarter]}


def test_the_table_holds_every_checkpoint_that_is_measured():
    assert set(TABLE) == {entry.id for entry in CHECKPOINTS if not entry.by_eye}


@pytest.mark.parametrize("hits", ["left", "right"])
@pytest.mark.parametrize(("name", "side", "said", "slug", "step"), ROWS, ids=lambda x: None)
def test_words_and_first_drill_push_the_right_way(name, side, said, slug, step, hits):
    entry = checkpoint(name)
    assert missed(reading(entry, side)) == side
    words = entry.words_for(side)
    assert said in words
    first = best_first(DRILLS, name, side)[0]
    assert (first.slug, fit(first, name, side) <= Fit.BOTH_SIDES) == (slug, True)
    assert step in " ".join(first.steps)
    told = " ".join([words, entry.side_words(side), *first.steps, first.goal, first.in_short, described(first.set_up)])
    assert not re.search(r"\bleft\b|\bright[- ](hand|side|foot|knee|leg|arm|eye|shoulder|elbow)", told, re.IGNORECASE)
    other = "left" if hits == "right" else "right"
    assert drawing(first.set_up, hits) != drawing(first.set_up, other)


def test_sides_have_names_that_differ():
    for entry in CHECKPOINTS:
        low, high = entry.side_words("low"), entry.side_words("high")
        assert bool(low and high and low != high) is not entry.by_eye, entry.id
        assert entry.side_words("") == ""


@pytest.mark.parametrize("drill", DRILLS, ids=lambda drill: drill.slug)
def test_a_shipped_drill_says_against_which_side_it_is(drill):
    measured = [name for name in drill.trains if not checkpoint(name).by_eye]
    assert list(drill.against) == measured
    assert set(drill.against.values()) <= {*SIDES, BOTH}


def test_a_drill_for_the_other_side_comes_after_all_that_fit():
    drills = [Drill(title="Alone", trains=["setup_face"], against={"setup_face": "low"}), *DRILLS]
    ranked = [fit(drill, "setup_face", "high") for drill in best_first(drills, "setup_face", "high")]
    assert ranked == sorted(ranked)
    assert Fit.OTHER_SIDE in ranked


def test_where_the_side_is_not_sure_the_drill_that_helps_from_either_comes_first():
    assert best_first(DRILLS, "down_foot_opening", "")[0].against["down_foot_opening"] == BOTH


def test_a_drill_that_never_said_its_side_is_neither_first_nor_wrong():
    silent = Drill(title="A drill of old", trains=["setup_face"])
    assert fit(silent, "setup_face", "low") == Fit.NOT_SURE


def test_the_desk_orders_the_drills_alike(tmp_path):
    """portal/drills/fitting.py and static/js/desk/fitting.js, over all checkpoints and sides."""
    aims = [(entry.id, side) for entry in CHECKPOINTS for side in ("low", "high", "")]
    given = [{"slug": d.slug, "title": d.title, "trains": d.trains, "against": d.against} for d in DRILLS]
    script = tmp_path / "order.mjs"
    script.write_text(
        f"import {{ bestFirst }} from {json.dumps((ROOT / 'static/js/desk/fitting.js').as_uri())};"
        f"const drills = {json.dumps(given)};"
        f"const order = {json.dumps(aims)}.map(([id, side]) => bestFirst(drills, id, side).map((d) => d.slug));"
        "console.log(JSON.stringify(order));"
    )
    node = shutil.which("node")
    assert node, "node is needed to test the browser modules; `make setup` installs it"
    run = subprocess.run([node, str(script)], capture_output=True, text=True, timeout=60, check=True)
    expected = [[drill.slug for drill in best_first(DRILLS, *aim)] for aim in aims]
    assert json.loads(run.stdout) == expected
