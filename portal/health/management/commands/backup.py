"""`manage.py backup FILE`: the whole site in one file, while it runs."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from portal.backup.making import Nothing, back_up
from portal.full_disk import is_full


class Command(BaseCommand):
    help = "Write database, media and signing key to FILE, readable by you alone. The site may run meanwhile."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a new file, for instance cagenote-$(date +%%F).tar")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            made = back_up(options["file"])
        except Nothing as nothing:
            raise CommandError(str(nothing)) from nothing
        except OSError as error:
            if is_full(error):
                raise CommandError(f"The disk of {options['file']} is full. No backup was made.") from error
            raise CommandError(f"No backup was made: {error}") from error
        self.stdout.write(
            f"{made.path}: {made.rows} rows and {made.files} files, {made.size / 1e6:.1f} MB. It holds children’s film "
            "and the site’s key: keep it where nobody else can read it."
        )
