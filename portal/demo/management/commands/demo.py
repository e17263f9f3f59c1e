"""`manage.py demo`: an invented camp with clips that are really measured, in a folder of its own."""

from __future__ import annotations

import argparse
import time
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.utils import timezone

from portal.camps.models import Camp
from portal.demo import cast, films, stamp
from portal.demo.making import Making, NotMade
from portal.health import ports
from portal.health.management.commands import run
from portal.health.supervisor import Supervisor


class Command(run.Command):
    help = "Start an invented camp on this machine. Ctrl-C stops all of it; the next start takes seconds."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--fresh", action="store_true", help="forget what was done in the demo and make it anew")

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError("The demo has settings of its own. Start it with: python manage.py demo")
        host, port = self.place(**options)
        try:
            self.must_be_made = options["fresh"] or not stamp.is_made()
            if self.must_be_made:
                stamp.clear()
        except (stamp.NotADemo, films.NoFilms) as error:
            raise CommandError(str(error)) from error
        self.run_site(host, port)

    def when_started(self, supervisor: Supervisor, host: str, port: int) -> None:
        if not ports.answers(host, port):
            raise CommandError("The site did not answer within a minute; the lines above say why.")
        if self.must_be_made:
            self._make(supervisor)
        self.stdout.write(_welcome())

    def _make(self, supervisor: Supervisor) -> None:
        begin = time.monotonic()
        self.stdout.write("Making the demo: its clips are measured now, which takes a few minutes the first time.")
        try:
            Making(_Ticker(begin), lambda: supervisor.is_over).run()
        except NotMade as error:
            raise CommandError(f"The demo was not made. {error}") from error
        stamp.write()
        self.stdout.write(f"Made in {time.monotonic() - begin:.0f} seconds.")


class _Ticker:
    """Prints a line of progress when it has changed, at most every two seconds."""

    def __init__(self, begin: float) -> None:
        self.begin, self.last, self.at = begin, "", 0.0

    def __call__(self, line: str) -> None:
        if line != self.last and time.monotonic() - self.at > 2:
            print(f"  {time.monotonic() - self.begin:4.0f} s  {line}", flush=True)
            self.last, self.at = line, time.monotonic()


def _welcome() -> str:
    camp = Camp.objects.filter(invite_ends_at__gt=timezone.now()).order_by("pk").first()  # whatever it is called by now
    signs_in = next(hitter for hitter in cast.HITTERS if hitter.signs_in)
    guardian = next(adult for adult in cast.GUARDIANS if adult.key == signs_in.guardian)
    rows = [
        ("coach", cast.COACH.email, f"{cast.COACH.name}: the queue and the desk"),
        ("guardian", guardian.email, f"{guardian.name}, who sends clips for {signs_in.first_name}"),
        (
            "player",
            f"{signs_in.first_name.lower()}@{cast.DOMAIN}",
            f"{signs_in.first_name}, who has an evaluation to read",
        ),
        ("owner", cast.OWNER.email, f"{cast.OWNER.name}: people, health, the outbox with all emails"),
    ]
    table = "\n".join(f"    {role:<9} {email:<26} {about}" for role, email, about in rows)
    invite = f"{settings.SITE_URL}/join/{camp.invite_token}/" if camp else "no camp's link is open"
    return (
        f"\nThe demo is at {settings.SITE_URL}\n\n  Sign in with the password  {cast.PASSWORD}\n\n{table}\n\n"
        f"  Invite link for a new family: {invite}\n"
        f"  Emails that it wrote:         {settings.SITE_URL}/owner/outbox/ (as owner)\n\nCtrl-C stops all of it.\n"
    )
