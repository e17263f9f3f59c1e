"""Make `analysis/read/lift.npz`, and what goes with it, again: says every command in order, or gives them.

    python -m tests.lift.repeat                                                     says them, with what each costs
    python -m tests.lift.repeat --run --data FOLDER [--small] [--first STEP] [--last STEP]

With ``--run`` each command is given in turn, in the folder of this repository, whose parameters it overwrites: do it in a copy. Steps that
draw leave alone what is drawn already, so what was stopped goes on. ``--small`` does all of it with a few clips and epochs: the
parameters are good for nothing, but every command has run. README.md says what is known of the run behind the committed files.
"""

from __future__ import annotations

import argparse
import multiprocessing
import shlex
import subprocess
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["STEPS", "Step"]

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Step:
    """One command: its words after ``python -m``, with {data} for the folder and {n} for the processes.

    ``small`` tells what stands in place of some of its words in the small run.
    """

    name: str
    words: str
    cost: str
    small: Mapping[str, str] = field(default_factory=dict)

    def command(self, data: Path | str, processes: int, small: bool = False) -> str:
        """All words after ``python -m``; raises ValueError where words to be replaced are not among them."""
        words = self.words
        for whole, few in self.small.items() if small else ():
            if whole not in words:
                raise ValueError(f"{self.name}: {whole!r} is not in {words!r}.")
            words = words.replace(whole, few)
        return words.format(data=data, n=processes)


_FIT = "tests.lift.fit --wide 448 --blocks 3 --size 4096 --focus 3 --tilt 5 --processes {n}"
_FEW = {"--size 4096": "--size 64", "--wide 448": "--wide 32"}
_OWN = (
    _FIT
    + " --deep 0.02 --aslant 0.5 --seed 11 --start analysis/read/lift.npz --tune {data}/clips --data {data}/later-own"
)
_THROUGH = (
    "tests.lift.fit --wide 448 --blocks 3 --size 4096 --tilt 5 --processes {n} --deep 0.02 --aslant 0.5 --start analysis/read/lift.npz "
    "--tune {data}/clips --data {data}/later-through {data}/bank-own {data}/later-others {data}/later-leans"
)
_HANDS = (
    "tests.lift.fit --wide 448 --blocks 3 --size 4096 --tilt 5 --processes {n} --deep 0.02 --aslant 0.5 --start analysis/read/lift.npz "
    "--tune {data}/clips --data {data}/later-sequences {data}/later-paths {data}/later-others {data}/later-through-2"
)
_DRIVEN = (
    "tests.lift.fit --wide 448 --blocks 3 --size 4096 --tilt 5 --processes {n} --deep 0.02 --aslant 0.5 --start analysis/read/lift.npz "
    "--tune {data}/clips --data {data}/later-sequences {data}/later-paths {data}/later-driven {data}/later-others {data}/later-deeds "
    "{data}/later-through-2"
)
# What the last rounds go by: the name of a folder of drawn clips, and the first and last number of them.
_NEW = (("sequences", 900000, 900575), ("paths", 950000, 950558), ("through-2", 802000, 802295))
# And what the network of swings by their tempo goes by: drawn clips for their errors, and moves that were never drawn.
_ERRORS = (
    ("sequences", 930000, 930023, ""), ("paths", 970000, 970023, ""), ("others", 26600, 26645, "--without-swings "),
)  # fmt: skip
_DEEDS = ((28000, 28599), (28600, 29599), (320000, 320199), (940000, 940349), (990000, 990249))
_UNSEEN = "--bank {data}/clips --processes {n}"
_MOVES = "--moves {data}/moves-fit.npz {data}/moves-tune.npz"
# Looks at swings that were never drawn, in five rounds: of whom, and of which numbers.
_ROUNDS = (
    (("later", 400000, 413200), ("fit", 400000, 405600), ("later", 210000, 217600), ("fit", 130000, 134500)),
    (("later", 500000, 509499), ("fit", 500000, 503999), ("later", 270000, 275499), ("fit", 170000, 173199)),
    (("later", 600000, 601999), ("later", 290000, 290799)),
    (("later", 910000, 911199), ("later", 960000, 961199), ("later", 310000, 312499), ("later", 810000, 811999)),
    (("later", 910000, 911199), ("later", 960000, 961199), ("later", 310000, 311999), ("later", 810000, 811999)),
)
_BANKS = (
    ("bank",), ("bank",), ("bank",), ("later-sequences", "later-paths", "later-through-2"),
    ("later-sequences", "later-paths", "later-driven", "later-through-2"),
)  # fmt: skip
# The last round looks at the same swings as the one before, as the lift sees them by then.
_AGAIN = 4


def _looks_of(turn: int) -> tuple[tuple[Step, ...], str]:
    """The steps that take the looks of a round, and the files that they make, as words."""
    again = "-again" if turn == _AGAIN else ""
    files = [f"{{data}}/looks-{use}-{first}{again}.npz" for use, first, _ in _ROUNDS[turn]]
    bank = " ".join(f"{{data}}/{folder}" for folder in _BANKS[turn])
    steps = [
        Step(f"looks-{use}-{first}{again}", f"tests.lift.unseen {use} {first} {last} --bank {bank} --views 3 --looks 2 --out {path} "
             "--processes {n}", "30 min / n", {f"{first} {last}": f"{first} {first + 15}"})
        for path, (use, first, last) in zip(files, _ROUNDS[turn], strict=True)
    ]  # fmt: skip
    return tuple(steps), " ".join(files)


_LOOKS, _LOOK_FILES = zip(*map(_looks_of, range(len(_ROUNDS))), strict=True)
_DRAWN = "{data}/moves-bank.npz {data}/moves-tune.npz --wide 96"
_BANK = f"--moves {_DRAWN}"
STEPS = (
    Step("people", "tests.lift.people", "10 s"),
    Step("plain", "tests.lift.make fit 0 7743 --out {data}/clips --processes {n}", "9 h / n", {"0 7743": "2500 2523"}),
    Step("wide", "tests.lift.make fit 8000 9203 --out {data}/clips --processes {n}", "2.5 h / n", {"9203": "8015"}),
    Step("ends", "tests.lift.make fit 12000 12699 --out {data}/ends --processes {n}", "1.5 h / n", {"12699": "12015"}),
    Step("tune", "tests.lift.make tune 0 999 --out {data}/clips --processes {n}", "3.5 h / n", {"999": "15"}),
    Step("tune-wide", "tests.lift.make tune 1000 1119 --out {data}/clips --processes {n}", "25 min / n", {"1119": "1003"}),
    Step("tune-landed", "tests.lift.make tune 200000 200099 --out {data}/clips --processes {n}", "25 min / n", {"200099": "200003"}),
    Step("tune-own", "tests.lift.make tune 300000 300163 --out {data}/clips --processes {n}", "40 min / n", {"300163": "300003"}),
    Step("judge", "tests.lift.make judge 0 1120 --out {data}/judge --processes {n}", "3.5 h / n", {"1120": "7"}),
    Step("lift-1", _FIT + " --data {data}/clips --deep 0.03 --epochs 200 --until 160 --seed 3 --out {data}/first.npz", "3 h of one core",
         {"--epochs 200 --until 160": "--epochs 30 --until 25", **_FEW}),
    Step("lift-2", _FIT + " --data {data}/clips --last 7743 --deep 0.02 --aslant 0.5 --epochs 70 --seed 7 --start {data}/first.npz "
         "--out analysis/read/lift.npz", "1 h of one core", {"--epochs 70": "--epochs 10", **_FEW}),
    Step("labels", "tests.lift.label 0 7743 --out {data}/labels.json --processes {n}", "2 h / n", {"0 7743": "2500 2523"}),
    Step("moves", "tests.lift.moves fit --data {data}/clips --labels {data}/labels.json --out {data}/moves-fit.npz "
         "--processes {n}", "20 min / n"),
    Step("moves-tune", "tests.lift.moves tune --data {data}/clips --out {data}/moves-tune.npz --processes {n}", "5 min / n"),
    Step("moves-ends", "tests.lift.moves fit --data {data}/ends --out {data}/moves-ends.npz --processes {n}", "2 min / n"),
    Step("unseen-3", f"tests.lift.unseen fit 20000 20999 --out {{data}}/unseen-3.npz {_UNSEEN}", "10 min / n",
         {"20999": "20015"}),
    Step("later", "tests.lift.make later 20000 21999 --out {data}/later --processes {n}", "2.5 h / n", {"21999": "20007"}),
    Step("later-wide", "tests.lift.make later 26000 26499 --out {data}/later --processes {n}", "1 h / n", {"26499": "26003"}),
    Step("later-own", "tests.lift.make later 300000 300383 --out {data}/later-own --processes {n}", "1 h / n", {"300383": "300007"}),
    Step("swings-1", f"tests.lift.deed_fit {_MOVES} --unseen {{data}}/unseen-3.npz --epochs 7 --wide 64 --seed 1 "
         "--out analysis/read/lift.npz", "5 min of one core", {"--epochs 7": "--epochs 1"}),
    Step("swings-2", "tests.lift.deed_fit --moves {data}/moves-ends.npz {data}/moves-tune.npz --going-on analysis/read/lift.npz "
         "--end 16 --rate 0.001 --seed 1 --out analysis/read/lift.npz", "5 min of one core", {"--end 16": "--end 1"}),
    Step("later-own-2", "tests.lift.make later 300384 301399 --out {data}/later-own --processes {n}", "2.5 h / n", {"301399": "300391"}),
    Step("lift-own-1", _OWN + " {data}/later --epochs 30 --rate 0.0006 --out {data}/own-1.npz", "15 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-own-2", _OWN + " {data}/later --epochs 60 --rate 0.0006 --out {data}/own-2.npz", "30 min of one core",
         {"--epochs 60": "--epochs 2", **_FEW}),
    Step("lift-own-3", _OWN + " {data}/later --epochs 20 --rate 0.0012 --out {data}/own-3.npz", "10 min of one core",
         {"--epochs 20": "--epochs 2", **_FEW}),
    Step("lift-own-4", _OWN + " --epochs 30 --rate 0.0006 --out {data}/own-4.npz", "8 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-own", "tests.lift.blend analysis/read/lift.npz=2 {data}/own-1.npz=1 {data}/own-2.npz=1 {data}/own-3.npz=1 "
         "{data}/own-4.npz=1 --tune {data}/clips --processes {n} --out analysis/read/lift.npz", "1 min"),
    Step("bank", "tests.lift.make later 300000 300219 --out {data}/bank --processes {n}", "40 min / n", {"300219": "300003"}),
    Step("bank-landed", "tests.lift.make later 200000 200079 --out {data}/bank --processes {n}", "15 min / n", {"200079": "200003"}),
    Step("labels-bank", "tests.lift.label 300000 300219 --use later --out {data}/labels-bank.json --processes {n}", "1 min / n",
         {"300219": "300003"}),
    Step("labels-landed", "tests.lift.label 200000 200079 --use later --out {data}/labels-landed.json --processes {n}", "30 s / n",
         {"200079": "200003"}),
    Step("moves-bank", "tests.lift.moves fit --data {data}/bank --labels {data}/labels-bank.json {data}/labels-landed.json "
         "--out {data}/moves-bank.npz --processes {n}", "1 min / n"),
    *_LOOKS[0],
    Step("instants-1", f"tests.lift.time_fit {_BANK} --looks {_LOOK_FILES[0]} --epochs 20 --end 4 --drop 0.2 --seed 1 "
         "--out analysis/read/lift.npz", "4 h of one core", {"--epochs 20 --end 4": "--epochs 1 --end 1"}),
    *_LOOKS[1],
    Step("instants-2", f"tests.lift.time_fit {_BANK} --looks {_LOOK_FILES[1]} --going-on analysis/read/lift.npz --end 34 --drop 0.1 "
         "--seed 8 --out {data}/instants-2.npz", "4 h of one core", {"--end 34": "--end 1"}),
    Step("instants-mean", "tests.lift.blend analysis/read/lift.npz=1 {data}/instants-2.npz=1 --instants --out analysis/read/lift.npz",
         "1 s"),
    *_LOOKS[2],
    Step("instants-lost", f"tests.lift.time_fit {_BANK} --looks {_LOOK_FILES[2]} --going-on analysis/read/lift.npz --lost --rate 0.0006 "
         "--end 11 --drop 0.1 --seed 12 --out analysis/read/lift.npz", "10 min of one core", {"--end 11": "--end 1"}),
    Step("bank-own", "tests.lift.make later 301400 302490 --out {data}/bank-own --processes {n}", "2.5 h / n", {"302490": "301403"}),
    Step("labels-own", "tests.lift.label 301400 302490 --use later --out {data}/labels-own.json --processes {n}", "2 min / n",
         {"302490": "301403"}),
    Step("moves-own", "tests.lift.moves fit --data {data}/bank-own --labels {data}/labels-own.json --out {data}/moves-own.npz "
         "--processes {n}", "1 min / n"),
    Step("instants-own", f"tests.lift.time_fit --moves {{data}}/moves-own.npz {_DRAWN} --going-on analysis/read/lift.npz --lost "
         "--rate 0.0006 --end 8 --drop 0.1 --seed 12 --out analysis/read/lift.npz", "20 min of one core", {"--end 8": "--end 1"}),
    Step("later-through", "tests.lift.make later 800000 801408 --out {data}/later-through --processes {n}", "2.5 h / n",
         {"801408": "800003"}),
    Step("later-others", "tests.lift.make later 22000 25957 --without-swings --out {data}/later-others --processes {n}", "1.5 h / n",
         {"25957": "22015"}),
    Step("tune-through", "tests.lift.make tune 800000 800448 --bat --out {data}/clips --processes {n}", "2.5 h / n",
         {"800448": "800003"}),
    Step("tune-leans", "tests.lift.make tune 850000 850119 --bat --out {data}/clips --processes {n}", "40 min / n", {"850119": "850003"}),
    Step("later-leans", "tests.lift.make later 850000 850562 --out {data}/later-leans --processes {n}", "1 h / n", {"850562": "850003"}),
    Step("lift-through-1", _THROUGH + " --focus 3 --epochs 30 --rate 0.0006 --seed 41 --out {data}/through-1.npz", "25 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-through-2", _THROUGH + " --focus 1 --epochs 40 --rate 0.0006 --seed 43 --out {data}/through-2.npz", "35 min of one core",
         {"--epochs 40": "--epochs 2", **_FEW}),
    Step("lift-through-3", _THROUGH + " --focus 1 --epochs 30 --rate 0.0012 --seed 44 --out {data}/through-3.npz", "25 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-through", "tests.lift.blend analysis/read/lift.npz=1 {data}/through-1.npz=1 {data}/through-2.npz=1 {data}/through-3.npz=1 "
         "--tune {data}/clips --processes {n} --out analysis/read/lift.npz", "1 min"),
    Step("kept-through", "tests.lift.blend analysis/read/lift.npz=1 --tune {data}/clips --processes {n} --out {data}/through.npz", "1 min"),
    Step("later-sequences", "tests.lift.make later 900000 900575 --out {data}/later-sequences --processes {n}", "2 h / n",
         {"900575": "900003"}),
    Step("later-paths", "tests.lift.make later 950000 950558 --out {data}/later-paths --processes {n}", "2 h / n", {"950558": "950003"}),
    Step("later-through-2", "tests.lift.make later 802000 802295 --out {data}/later-through-2 --processes {n}", "30 min / n",
         {"802295": "802003"}),
    Step("tune-sequences", "tests.lift.make tune 900000 900110 --bat --out {data}/clips --processes {n}", "30 min / n",
         {"900110": "900003"}),
    Step("tune-paths", "tests.lift.make tune 950000 950110 --bat --out {data}/clips --processes {n}", "30 min / n",
         {"950110": "950003"}),
    Step("lift-hands-1", _HANDS + " --focus 3 --epochs 30 --rate 0.0006 --seed 51 --out {data}/hands-1.npz", "15 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-hands-2", _HANDS + " --focus 1 --epochs 40 --rate 0.0006 --seed 53 --out {data}/hands-2.npz", "20 min of one core",
         {"--epochs 40": "--epochs 2", **_FEW}),
    Step("lift-hands-3", _HANDS + " --focus 1 --epochs 30 --rate 0.0012 --seed 54 --out {data}/hands-3.npz", "15 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-hands", "tests.lift.blend analysis/read/lift.npz=1 {data}/hands-1.npz=1 {data}/hands-2.npz=1 {data}/hands-3.npz=1 "
         "--tune {data}/clips --processes {n} --out analysis/read/lift.npz", "1 min"),
    *(
        Step(f"labels-{name}", f"tests.lift.label {first} {last} --use later --out {{data}}/labels-{name}.json --processes {{n}}",
             "5 min / n", {str(last): str(first + 3)})
        for name, first, last in _NEW
    ),
    *(
        Step(f"moves-{name}", f"tests.lift.moves fit --data {{data}}/later-{name} --labels {{data}}/labels-{name}.json "
             f"--out {{data}}/moves-{name}.npz --processes {{n}}", "2 min / n")
        for name, _, _ in _NEW
    ),
    *_LOOKS[3],
    Step("instants-hands", "tests.lift.time_fit --moves {data}/moves-sequences.npz {data}/moves-paths.npz {data}/moves-through-2.npz "
         f"{{data}}/moves-tune.npz --wide 96 --looks {_LOOK_FILES[3]} --going-on analysis/read/lift.npz --lost --rate 0.001 --end 8 "
         "--drop 0.1 --seed 13 --out analysis/read/lift.npz", "30 min of one core", {"--end 8": "--end 1"}),
    *(
        Step(f"errors-{name}", f"tests.lift.make later {first} {last} --out {{data}}/errors {more}--processes {{n}}", "10 min / n",
             {str(last): str(first + 3)})
        for name, first, last, more in _ERRORS
    ),
    Step("moves-errors", "tests.lift.moves fit --data {data}/errors --out {data}/moves-errors.npz --processes {n}", "1 min / n"),
    *(
        Step(f"unseen-{first}", f"tests.lift.unseen fit {first} {last} --bank {{data}}/errors --out {{data}}/unseen-{first}.npz "
             "--processes {n}", "5 min / n", {str(last): str(first + 7)})
        for first, last in _DEEDS
    ),
    Step("swings-hands", "tests.lift.deed_fit --moves {data}/moves-errors.npz {data}/moves-tune.npz "
         + " ".join(f"{{data}}/unseen-{first}.npz" for first, _ in _DEEDS)
         + " --going-on analysis/read/lift.npz --end 5 --rate 0.0006 --seed 2 --out {data}/swings-hands.npz", "4 min of two cores",
         {"--end 5": "--end 1"}),
    Step("swings-mean", "tests.lift.blend analysis/read/lift.npz=1 {data}/swings-hands.npz=1 --swings --out analysis/read/lift.npz", "1 s"),
    Step("later-driven", "tests.lift.make later 1000000 1000445 --out {data}/later-driven --processes {n}", "1.5 h / n",
         {"1000445": "1000003"}),
    Step("later-deeds", "tests.lift.make later 1050000 1050356 --out {data}/later-deeds --processes {n}", "1 h / n",
         {"1050356": "1050015"}),
    Step("tune-driven", "tests.lift.make tune 1000000 1000110 --bat --out {data}/clips --processes {n}", "30 min / n",
         {"1000110": "1000003"}),
    Step("tune-deeds", "tests.lift.make tune 1050000 1050079 --out {data}/clips --processes {n}", "20 min / n", {"1050079": "1050003"}),
    Step("lift-driven-1", _DRIVEN + " --focus 3 --epochs 30 --rate 0.0006 --seed 61 --out {data}/driven-1.npz", "15 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-driven-2", _DRIVEN + " --focus 1 --epochs 40 --rate 0.0006 --seed 63 --out {data}/driven-2.npz", "20 min of one core",
         {"--epochs 40": "--epochs 2", **_FEW}),
    Step("lift-driven-3", _DRIVEN + " --focus 1 --epochs 30 --rate 0.0012 --seed 64 --out {data}/driven-3.npz", "15 min of one core",
         {"--epochs 30": "--epochs 2", **_FEW}),
    Step("lift-driven", "tests.lift.blend {data}/through.npz=1 analysis/read/lift.npz=3 {data}/driven-1.npz=1 {data}/driven-2.npz=1 "
         "{data}/driven-3.npz=1 --tune {data}/clips --processes {n} --out analysis/read/lift.npz", "1 min"),
    Step("labels-driven", "tests.lift.label 1000000 1000445 --use later --out {data}/labels-driven.json --processes {n}", "20 min / n",
         {"1000445": "1000003"}),
    Step("moves-driven", "tests.lift.moves fit --data {data}/later-driven --labels {data}/labels-driven.json --out {data}/moves-driven.npz "
         "--processes {n}", "2 min / n"),
    *(
        Step(f"moves-{name}", f"tests.lift.moves fit --data {{data}}/later-{name} --out {{data}}/moves-{name}.npz --processes {{n}}",
             "2 min / n")
        for name in ("others", "deeds")
    ),
    *_LOOKS[_AGAIN],
    Step("instants-driven", "tests.lift.time_fit --moves {data}/moves-sequences.npz {data}/moves-paths.npz {data}/moves-driven.npz "
         f"{{data}}/moves-through-2.npz {{data}}/moves-tune.npz --wide 96 --looks {_LOOK_FILES[_AGAIN]} --going-on analysis/read/lift.npz "
         "--lost --rate 0.001 --end 8 --drop 0.1 --seed 14 --out {data}/instants-driven.npz", "30 min of one core",
         {"--end 8": "--end 1"}),
    Step("instants-driven-mean", "tests.lift.blend analysis/read/lift.npz=1 {data}/instants-driven.npz=2 --instants "
         "--out analysis/read/lift.npz", "1 s"),
    Step("swings-deeds", "tests.lift.deed_fit --moves {data}/moves-sequences.npz {data}/moves-paths.npz {data}/moves-driven.npz "
         "{data}/moves-through-2.npz {data}/moves-others.npz {data}/moves-deeds.npz {data}/moves-tune.npz {data}/unseen-28000.npz "
         "--going-on analysis/read/lift.npz --end 14 --rate 0.001 --seed 3 --out {data}/swings-deeds.npz", "8 min of two cores",
         {"--end 14": "--end 1"}),
    Step("swings-deeds-mean", "tests.lift.blend analysis/read/lift.npz=1 {data}/swings-deeds.npz=1 --swings --out analysis/read/lift.npz",
         "1 s"),
    Step("tune-own-2", "tests.lift.make tune 300172 300747 --out {data}/clips --processes {n}", "2.5 h / n", {"300747": "300175"}),
    Step("calibrate", "tests.lift.judge --data {data}/clips --calibrate --processes {n}", "10 min / n"),
    Step("judge-later", "tests.lift.make judge 3000 3299 --bat --out {data}/judge-later --processes {n}", "1.5 h / n", {"3299": "3007"}),
    Step("judge-later-wide", "tests.lift.make judge 4000 4099 --bat --out {data}/judge-later --processes {n}", "30 min / n",
         {"4099": "4003"}),
    Step("judge-landed", "tests.lift.make judge 200000 200099 --bat --out {data}/judge-later --processes {n}", "25 min / n",
         {"200099": "200003"}),
    Step("judge-own", "tests.lift.make judge 300000 300099 --bat --out {data}/judge-later --processes {n}", "25 min / n",
         {"300099": "300003"}),
    Step("judge-sequences", "tests.lift.make judge 900000 900057 --bat --out {data}/judge-later --processes {n}", "20 min / n",
         {"900057": "900003"}),
    Step("judge-paths", "tests.lift.make judge 950000 950060 --bat --out {data}/judge-later --processes {n}", "20 min / n",
         {"950060": "950003"}),
    Step("judge-driven", "tests.lift.make judge 1000000 1000077 --bat --out {data}/judge-later --processes {n}", "25 min / n",
         {"1000077": "1000003"}),
    Step("judge-deeds", "tests.lift.make judge 1050000 1050079 --bat --out {data}/judge-later --processes {n}", "25 min / n",
         {"1050079": "1050003"}),
    Step("judged", "tests.lift.judge --data {data}/judge-later --processes {n} --out {data}/judged.md", "5 min / n"),
    Step("slowed", "tests.lift.judge --data {data}/judge-later --slowed --processes {n} --out {data}/slowed.md", "10 min / n"),
    Step("page", "analysis.validate --data {data}/judge-later --processes {n} --out {data}/VALIDATION.md", "10 min / n"),
    Step("curve", "tests.lift.curve --data {data}/clips --judge {data}/judge --shares 0.03125 0.0625 0.125 0.25 --processes {n}",
         "20 min of one core", {"--shares 0.03125 0.0625 0.125 0.25": "--shares 1 --steps 2 --wide 32"}),
    Step("reach", "tests.lift.reach --bank {data}/clips --judge {data}/judge-later --hitters 1600 --steps 2500 --processes {n}",
         "25 min", {"--hitters 1600 --steps 2500": "--hitters 8 --steps 2"}),
    Step("reach-instants", "tests.lift.reach_instants --judge {data}/judge-later --processes {n}", "10 min / n"),
    Step("reach-bat", "tests.lift.reach_bat --judge {data}/judge-later", "10 s"),
    Step("times-curve", f"tests.lift.time_fit {_MOVES} --shares 0.25 0.5 1 --seed 5", "3 h of one core",
         {"--shares 0.25 0.5 1": "--shares 1 --epochs 1"}),
    Step("again", "tests.lift.again tune 1 60 --out {data}/again", "2 h", {"1 60": "3 3"}),
    Step("again-judge", "tests.lift.again judge 1 60 --out {data}/again", "2 h", {"1 60": "3 3"}),
    Step("again-rows", "tests.lift.shares rows {data}/again tune --out tests/lift/data/again-tune.json", "1 min"),
    Step("several", "tests.lift.shares fit tests/lift/data/again-tune.json", "1 s"),
    Step("change", "tests.portal.measuring.draw_shares", "1 s"),
)  # fmt: skip


def main() -> int:
    """Command line."""
    names = [step.name for step in STEPS]
    parser = argparse.ArgumentParser(description="Say, or give, every command behind the fitted parameters.")
    parser.add_argument("--data", type=Path, help="folder for all that is drawn on the way: 1.5 GB")
    parser.add_argument("--run", action="store_true", help="give the commands, and do not only say them")
    parser.add_argument(
        "--small", action="store_true", help="with a few clips and epochs, to see whether all of it runs"
    )
    parser.add_argument("--first", choices=names, default=names[0])
    parser.add_argument("--last", choices=names, default=names[-1])
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    if wish.run and wish.data is None:
        parser.error("say where to put what is drawn (--data)")
    if wish.run:
        wish.data.mkdir(parents=True, exist_ok=True)
    for step in STEPS[names.index(wish.first) : names.index(wish.last) + 1]:
        words = step.command(wish.data or "FOLDER", wish.processes, wish.small)
        print(f"# {step.name}: {step.cost}\npython -m {words}", flush=True)
        if wish.run:
            began = time.time()
            status = subprocess.run([sys.executable, "-m", *shlex.split(words)], cwd=ROOT, check=False).returncode
            print(f"# {step.name} took {time.time() - began:.0f} s", flush=True)
            if status:
                return status
    return 0


if __name__ == "__main__":
    sys.exit(main())
