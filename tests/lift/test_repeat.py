"""The commands behind the fitted parameters are commands: modules that are there, with options that they know."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.lift.repeat import STEPS, Step

ROOT = Path(__file__).parents[2]
steps = pytest.mark.parametrize("step", STEPS, ids=lambda step: step.name)
# Files that lie in the repository, and what a step before has made.
KEPT = {"analysis/read/lift.npz"}


@steps
@pytest.mark.parametrize("small", [False, True])
def test_a_command_names_a_module_and_options_that_it_knows(step: Step, small: bool) -> None:
    module, *words = shlex.split(step.command("FOLDER", 2, small))
    path = ROOT / (module.replace(".", "/") + ".py")
    source = (path if path.exists() else path.with_suffix("") / "__main__.py").read_text()
    for word in words:
        if word.startswith("--"):
            assert f'"{word}"' in source, f"{module} knows no {word}"


def test_what_a_step_opens_was_made_before() -> None:
    made = set(KEPT)
    for step in STEPS:
        words = shlex.split(step.command("FOLDER", 2))
        out = words[words.index("--out") + 1] if "--out" in words else None
        opened = {word for word in words if re.search(r"\.(npz|json)$", word) and word != out}
        assert opened <= made, f"{step.name} opens {opened - made}"
        made |= {out} if out else set()


def test_the_small_run_makes_every_file_of_the_whole_one() -> None:
    for step in STEPS:
        outs = [re.findall(r"--out (\S+)", step.command("FOLDER", 2, small)) for small in (False, True)]
        assert outs[0] == outs[1]


def test_a_word_that_is_not_there_is_told() -> None:
    with pytest.raises(ValueError, match="'--epochs 5' is not in"):
        Step("fit", "tests.lift.fit --epochs 6", "", {"--epochs 5": "--epochs 1"}).command("FOLDER", 2, small=True)
