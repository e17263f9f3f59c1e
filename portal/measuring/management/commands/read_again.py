"""`manage.py read_again`: read old clips again right here, by today's method and book, without their film and without the queue."""

from __future__ import annotations

import argparse
from typing import Any

from django.core.management.base import BaseCommand

from portal.measuring import door, rereading
from portal.measuring.models import Measurement, Retry


class Command(BaseCommand):
    help = (
        "Read clips again from their tracks: those read by an older method or book, also those that were given up. What is "
        "published stays as it is. The workers do the same by themselves, a few at a time."
    )

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--count", action="store_true", help="only say how many are left")
        parser.add_argument(
            "--everything", action="store_true", help="also those read by today's method, as after a mended fault"
        )

    def handle(self, *args: Any, count: bool, everything: bool, **options: Any) -> None:
        if count:
            self.stdout.write(self._standing())
            return
        Retry.objects.all().delete()
        if everything:
            Measurement.objects.update(read_method=0, read_book=0)
        door.preload_scipy()
        left = list(rereading.waiting().values_list("pk", flat=True))
        for number, pk in enumerate(left, start=1):
            ending = self._read(pk)
            if number % 50 == 0 or number == len(left) or ending != "read":
                self.stdout.write(f"{number} of {len(left)}: {ending}")
        self.stdout.write(self._standing())

    def _read(self, pk: int) -> str:
        """One clip, tried as often as it may be: nobody comes by later to try again."""
        while (ending := rereading.read_again(pk)) == "again":
            pass
        return ending

    def _standing(self) -> str:
        left, stays = rereading.waiting().count(), rereading.left_as_they_are().select_related("measurement")
        first = (
            f"Method {door.METHOD}, book {door.BOOK}: {left} left to be read again, "
            f"{stays.count()} stay as they were read."
        )
        return "\n".join([first, *map(_stays_words, stays)])


def _stays_words(row: Retry) -> str:
    held = row.measurement
    why = row.get_trouble_display() or "reading it stopped"
    return f"  {held.clip_id}: read by method {held.read_method}, book {held.read_book}; {why}"
