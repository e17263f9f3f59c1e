"""What a site makes of an empty data folder, made once for a run: tables take six seconds of CPU, packed files as much.

For tests that begin where it lies there. `tests/portal/health/test_run.py` and `tests/browser/test_real_site.py` begin with none.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.once import once

ROOT = Path(__file__).resolve().parent.parent
DATABASE = "cagenote.sqlite3"
LEFT_OUT = ("DATABASE_URL", "MEDIA_ROOT", "SITE_URL", "EMAIL_URL", "ALLOWED_HOSTS", "TRUSTED_PROXIES", "MEDIA_ACCEL")

PACK = """
import django
django.setup()
from portal.health import static_files
assert static_files.collect()
"""


def lay_tables(folder: Path) -> None:
    """Lay the embedded database into a data folder, with its tables and no rows but those that migrations make."""
    shutil.copy(once("sites", "tables", _migrate) / DATABASE, folder / DATABASE)


def lay_site(folder: Path) -> None:
    """The same with the packed static files, as `manage.py run` leaves both."""
    lay_tables(folder)
    shutil.copytree(once("sites", "packed", _pack) / "static", folder / "static")


def _migrate(folder: Path) -> None:
    subprocess.run([sys.executable, "manage.py", "migrate", "--verbosity", "0"], cwd=ROOT, env=_env(folder), check=True)


def _pack(folder: Path) -> None:
    subprocess.run([sys.executable, "-c", PACK], cwd=ROOT, env=_env(folder), check=True)


def _env(folder: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
    return {**kept, "DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "portal.settings"}
