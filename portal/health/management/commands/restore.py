"""`manage.py restore FILE`: a backup back into an empty data folder, or in the place of what is there."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from portal.backup.archive import Unusable
from portal.backup.restoring import Refused, restore
from portal.full_disk import is_full
from portal.health import run_lock


class Command(BaseCommand):
    help = "Take back what `manage.py backup` wrote: into an empty DATA_DIR, or with --replace over what is there."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--replace", action="store_true", help="put it in the place of all that is there")

    def handle(self, *args: Any, **options: Any) -> None:
        lock = run_lock.take()
        try:
            counts = restore(options["file"], replace=options["replace"])
        except (Refused, Unusable) as problem:
            raise CommandError(f"{problem} Nothing was changed.") from problem
        except OSError as error:
            if is_full(error):
                raise CommandError(
                    "The disk is full. The database is as it was; make room and restore again with --replace."
                ) from error
            raise CommandError(f"Not restored: {error}") from error
        finally:
            lock.close()
        self.stdout.write(f"Restored: {sum(counts.values())} rows. Start the site with `manage.py run`.")
        if os.environ.get("SECRET_KEY", "").strip():
            self.stdout.write(
                "SECRET_KEY is set and goes before the key of the backup: links sent before may be spent."
            )
