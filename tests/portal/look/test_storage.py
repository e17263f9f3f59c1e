"""Hashed names reach the modules that other modules import."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client, override_settings

pytestmark = pytest.mark.slow  # collects the whole tree

UNPACKED = {"BACKEND": "portal.look.storage.UnpackedStorage"}
COMMENT = re.compile(r"/\*.*?\*/|(?<!:)//[^\n]*", re.DOTALL)
IMPORTED = re.compile(r"""(?:from|import)\s*\(?\s*["'](\.[^"']+)["']""")
HASHED = re.compile(r"\.[0-9a-f]{12}\.js$")


@pytest.fixture(scope="module")
def collected(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The real tree, collected as the site does it, without the packed copies."""
    from django.conf import settings

    root = tmp_path_factory.mktemp("static")
    with override_settings(STATIC_ROOT=root, STORAGES={**settings.STORAGES, "staticfiles": UNPACKED}):
        call_command("collectstatic", interactive=False, verbosity=0)
        yield root


def hashed_modules(root: Path) -> list[Path]:
    return [path for path in sorted((root / "js").rglob("*.js")) if HASHED.search(path.name)]


def imports(path: Path) -> list[str]:
    return IMPORTED.findall(COMMENT.sub("", path.read_text()))


def test_every_import_in_a_hashed_module_names_a_hashed_module_that_is_there(collected: Path) -> None:
    found = [(path, address) for path in hashed_modules(collected) for address in imports(path)]

    assert len(found) > 50  # the desk alone has more
    for path, address in found:
        assert HASHED.search(address), f"{path.name} imports {address}"
        assert (path.parent / address).is_file(), f"{path.name} imports {address}"


def test_types_in_comments_stay_as_they_are(collected: Path) -> None:
    desk = next(path for path in hashed_modules(collected) if path.name.startswith("desk."))

    assert 'import("./types.js")' in desk.read_text()


def test_each_module_is_there_under_one_hashed_name(collected: Path) -> None:
    names = [HASHED.sub(".js", str(path)) for path in hashed_modules(collected)]

    assert len(names) == len(set(names))


def test_an_imported_module_is_kept_for_good(collected: Path, settings: Any) -> None:
    settings.STORAGES = {**settings.STORAGES, "staticfiles": UNPACKED}
    settings.MIDDLEWARE = ["whitenoise.middleware.WhiteNoiseMiddleware"]
    settings.WHITENOISE_USE_FINDERS = False
    desk = next(path for path in hashed_modules(collected) if path.name.startswith("desk."))
    name = Path(imports(desk)[0]).name

    answer = Client().get(f"/static/js/desk/{name}")

    assert answer.status_code == 200
    assert "immutable" in answer["Cache-Control"]


def test_the_site_uses_these_names() -> None:
    """The test run itself needs no hashes (tests/conftest.py), so the settings file is asked."""
    source = (Path(__file__).parents[3] / "portal" / "settings.py").read_text()

    assert '"portal.look.storage.Storage"' in source


def test_what_pages_ask_for_is_packed_and_nothing_else(tmp_path: Path) -> None:
    """Packing the plain names too, which no page asks for, doubled the time of a first start."""
    from portal.look.storage import Storage

    (tmp_path / "a.0123456789ab.css").write_text("b { color: red }" * 200)
    (tmp_path / "a.css").write_text("b { color: red }" * 200)
    storage = Storage(location=tmp_path, base_url="/static/")
    storage.hashed_files = {"a.css": "a.0123456789ab.css"}

    packed = dict(storage.compress_files(["a.css", "a.0123456789ab.css"]))

    assert list(packed) == ["a.0123456789ab.css"]
    assert (tmp_path / "a.0123456789ab.css.gz").is_file()
