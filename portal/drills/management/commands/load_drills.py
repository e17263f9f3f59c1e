from typing import Any

from django.core.management.base import BaseCommand

from portal.drills.library import load


class Command(BaseCommand):
    help = "Put the shipped drills into the library, or bring them up to date. Coaches' own drills stay as they are."

    def handle(self, *args: Any, **options: Any) -> None:
        new, old = load()
        self.stdout.write(f"Drills: {new} new, {old} brought up to date.")
