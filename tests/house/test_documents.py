"""README, DEVELOPERS and CHANGELOG say what is true: names in them exist, and what exists is in them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

PATH = re.compile(
    r"`((?:analysis|portal|tests|setup|static|templates)/[\w./*-]*|[\w.-]+\.(?:py|md|toml|yml|txt|conf))`"
)

HOUSE = ("analysis", "portal", "setup", "static", "templates", "tests")  # not what the set-up step brings


@pytest.fixture(scope="module")
def readme(root: Path) -> str:
    return (root / "README.md").read_text()


@pytest.fixture(scope="module")
def developers(root: Path) -> str:
    return (root / "DEVELOPERS.md").read_text()


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_make_targets_named_exist(root: Path, document: str):
    targets = set(re.findall(r"^([a-z-]+):", (root / "Makefile").read_text(), re.MULTILINE))
    named = set(re.findall(r"`?(?:PORT=\d+ )?make ([a-z-]+)(?:`|$)", (root / document).read_text(), re.MULTILINE))
    assert named
    assert named <= targets


def test_the_two_commands_come_first(readme: str):
    assert re.findall(r"^    (make .*)$", readme, re.MULTILINE)[:2] == ["make demo", "make test"]


def test_manage_commands_named_exist(readme: str):
    from django.core.management import get_commands

    named = set(re.findall(r"manage\.py (\w+)", readme))
    assert named
    assert named <= set(get_commands())


def test_options_of_the_command_line_named_exist(readme: str):
    from analysis import cli

    parser_words = Path(cli.__file__).read_text()
    lines = re.findall(r"-m analysis (.*)$", readme, re.MULTILINE)
    assert lines
    assert all(f'"{option}"' in parser_words for line in lines for option in re.findall(r"--[\w-]+", line))


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_files_named_exist(root: Path, document: str):
    made_by_tests = {"tests/browser/shots/"}
    apart = {"nginx.conf"}
    named = set(PATH.findall((root / document).read_text())) - made_by_tests - apart
    missing = [name for name in named if not (root / name).exists() and not list(root.glob(name))]
    ours = {path.name for folder in HOUSE for path in (root / folder).rglob("*.*")}
    assert [name for name in missing if name not in ours] == []


def test_pictures_shown_exist(root: Path, readme: str):
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", readme)
    assert len(shown) >= 2
    assert [name for name in shown if not (root / name).is_file()] == []


def test_every_setting_has_its_row_and_every_row_its_setting(root: Path, readme: str):
    read = set(re.findall(r'env\.\w+\(\s*"(\w+)"', (root / "portal" / "settings.py").read_text()))
    rows = set(re.findall(r"^\| `(\w+)` \|", readme, re.MULTILINE))
    inside = {"CAGENOTE_DEMO", "ANALYSIS_COMMAND", "MEASURE_STALE_S"}  # set by the demo and by tests
    assert read - inside == rows


def test_every_dependency_has_its_reason(root: Path, developers: str):
    project = tomllib.loads((root / "pyproject.toml").read_text())
    asked = [*project["project"]["dependencies"], *project["dependency-groups"]["dev"]]
    section = developers.split("## Dependencies")[1]
    names = [Requirement(line).name for line in asked]
    assert [name for name in names if not re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", section)] == []


def test_the_map_of_the_house_names_every_app(root: Path, developers: str):
    apps = {folder.parent.name for folder in (root / "portal").glob("*/apps.py")}
    assert [name for name in sorted(apps) if f"{name}/" not in developers] == []


def test_changelog_has_known_headings_and_no_empty_section(root: Path):
    text = (root / "CHANGELOG.md").read_text()
    releases = re.findall(r"^## (.*)$", text, re.MULTILINE)
    assert releases[0] == "Unreleased"
    assert all(re.fullmatch(r"\d+\.\d+\.\d+ \(\d{4}-\d{2}-\d{2}\)", name) for name in releases[1:])
    assert set(re.findall(r"^### (.*)$", text, re.MULTILINE)) <= {"Added", "Changed", "Fixed", "Removed", "Security"}
    sections = re.split(r"^###? .*$", text, flags=re.MULTILINE)[2:]
    assert all(section.lstrip().startswith("- ") for section in sections if section.strip())
    assert all(section.strip() for section in re.split(r"^### .*$", text, flags=re.MULTILINE)[1:])
