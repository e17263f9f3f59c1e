"""A page names every module that its own one imports, so that the browser fetches them at once."""

from __future__ import annotations

import re
from pathlib import Path

from django.template import Context, Template

from portal.look.modules import imported

COMMENT = re.compile(r"/\*.*?\*/|(?<!:)//[^\n]*", re.DOTALL)


def direct(root: Path, name: str) -> set[str]:
    """What a module imports, told without the code under test: every relative address in quotes outside of comments."""
    path = root / "static" / name
    found = re.findall(r"""["'](\.\.?/[^"'\s]+\.js)["']""", COMMENT.sub("", path.read_text()))
    return {str((path.parent / address).resolve().relative_to(root / "static")) for address in found}


def test_every_import_of_the_desk_is_named_once(root):
    names = imported("js/desk/desk.js")
    assert len(names) == len(set(names)) > 40
    everything = {"js/desk/desk.js", *names}
    for name in everything:
        assert direct(root, name) <= everything, name
    assert set(names) == set().union(*(direct(root, name) for name in everything))


def test_types_in_comments_are_not_fetched():
    assert "js/desk/types.js" not in imported("js/desk/desk.js")


def test_imports_over_several_lines_and_without_a_name_are_seen(settings, tmp_path):
    (tmp_path / "js").mkdir()
    (tmp_path / "one.js").write_text(
        'import {\n  a,\n  b,\n} from "./js/two.js";\nexport { c } from "./js/three.js";\n'
    )
    (tmp_path / "js" / "two.js").write_text('import "../four.js";\nexport const word = "./no.js";\n')
    (tmp_path / "js" / "three.js").write_text(
        'const late = () => import("./five.js");\nimport { x } from "./two.js";\n'
    )
    (tmp_path / "four.js").write_text('import { y } from "./one.js";\n')  # in a circle
    settings.STATICFILES_DIRS = [tmp_path]
    settings.DEBUG = True  # nothing kept from before, nothing kept for later
    assert imported("one.js") == ["js/two.js", "js/three.js", "four.js"]


def test_the_tag_names_them_before_the_module():
    page = Template('{% load look %}{% module "js/intake/page.js" %}').render(Context())
    ahead = re.findall(r'<link rel="modulepreload" href="/static/([^"]+)">', page)
    assert ahead == imported("js/intake/page.js")
    assert ahead
    assert page.rstrip().endswith('<script type="module" src="/static/js/intake/page.js"></script>')
