"""`manage.py erase_again`: after a restore, erase what had been erased since the backup was made."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from portal.privacy import again, ledger


class Command(BaseCommand):
    help = "Erase what the ledger of erasures names and a restored backup brought back. Runs at every start as well."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--also", type=Path, help="the ledger (erased.jsonl) of another machine, taken over first")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["also"]:
            self.stdout.write(f"Taken over: {ledger.merge(options['also'])} lines.")
        count = again.erase_again()
        again.finish()
        self.stdout.write(f"Erased again: {count}.")
