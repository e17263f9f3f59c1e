"""Every template's tags are tags: one that runs over the end of its line is text to Django, and stands on the page as it is written."""

import re
from pathlib import Path

import pytest
from django.conf import settings

FOLDER = Path(settings.BASE_DIR) / "templates"
TEMPLATES = sorted(str(path.relative_to(FOLDER)) for path in FOLDER.rglob("*") if path.is_file())
UNCLOSED = re.compile(r"\{%(?!.*?%\})|\{\{(?!.*?\}\})|\{#(?!.*?#\})")


@pytest.mark.parametrize("template", TEMPLATES)
def test_no_tag_runs_over_the_end_of_its_line(template):
    lines = (FOLDER / template).read_text().splitlines()
    assert [line for line in lines if UNCLOSED.search(line)] == []


@pytest.mark.parametrize("line", ['{% translate "Hello,', "a {{ name", "{# why"])
def test_such_a_tag_is_noticed(line):
    assert UNCLOSED.search(f"{{% load i18n %}}{line}")
