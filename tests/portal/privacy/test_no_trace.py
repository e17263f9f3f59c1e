"""After an erasure nothing in files, database, queue or logs names the family; and a restored backup is erased again."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.portal.privacy import family_site
from tests.ready import lay_tables

pytestmark = pytest.mark.slow  # three sites are started one after the other
ROOT = Path(__file__).resolve().parents[3]
UNSET = ("DATABASE_URL", "REDIS_URL", "MEDIA_ROOT", "SITE_URL")


class Site:
    """A site in a folder; what its processes say is kept beside it, as a journal would."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.log = folder, folder.with_name("journal.log")
        self.said = ""
        folder.mkdir()
        lay_tables(folder)

    def do(self, what: str) -> list[str]:
        env = {name: value for name, value in os.environ.items() if name not in UNSET}
        env |= {"DATA_DIR": str(self.folder), "DATABASE_URL": "", "REDIS_URL": ""}
        command = [sys.executable, "-m", "tests.portal.privacy.family_site", what]
        with self.log.open("ab") as log:
            done = subprocess.run(command, env=env, cwd=ROOT, stdout=subprocess.PIPE, stderr=log, check=False)
        assert done.returncode == 0, self.log.read_text()[-4000:]
        self.said = done.stdout.decode()
        return list(json.loads(self.said.splitlines()[-1]))

    def hits(self, words: list[str]) -> dict[str, list[str]]:
        """Which words stand in which files, in names of files too."""
        found: dict[str, list[str]] = {}
        for path in (*self.folder.rglob("*"), self.folder.with_name(family_site.QUEUE_HELD), self.log):
            text = (path.read_bytes() if path.is_file() else b"").lower() + b"\n" + path.name.lower().encode()
            told = [word for word in words if word.lower().encode() in text]
            if told:
                found[path.name] = told
        return found


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return Site(tmp_path_factory.mktemp("site") / "data")


@pytest.fixture(scope="module")
def words(site: Site) -> list[str]:
    """A family with everything is built, and seen to be there."""
    words = site.do("build")
    everywhere = site.hits(words)
    assert {"cagenote.sqlite3", family_site.QUEUE_HELD} <= everywhere.keys()
    assert set(words) <= {word for told in everywhere.values() for word in told}
    site.log.write_text("")  # what processes of the test itself say while they build is no journal of the site's
    site.do("erase")
    return words


def test_nothing_is_found_of_an_erased_family(site, words):
    assert site.hits(words) == {}


def test_the_other_family_is_untouched(site, words):
    found = {word for told in site.hits(["Joris", "Achterberg", "ruben@example.org"]).values() for word in told}
    assert found == {"Joris", "Achterberg", "ruben@example.org"}


def test_a_restored_backup_is_erased_again(site, words):
    family_site.bring_back(site.folder)
    assert site.hits(words)
    site.do("again")
    assert site.hits(words) == {}


def test_nor_does_the_owners_restore_leave_anything(site, words):
    site.do("restore")
    assert "Erased again: 2." in site.said  # the child with her own sign-in, and the mother
    assert site.hits(words) == {}
    assert site.hits(["Joris"])
