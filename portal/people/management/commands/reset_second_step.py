"""`manage.py reset_second_step EMAIL`: for an owner who lost phone, passkey and recovery codes."""

from __future__ import annotations

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from portal.people import second_step
from portal.people.models import User


class Command(BaseCommand):
    help = "Take somebody's second step away; at the next sign-in they are asked to set up a new one."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("email", help="the address of the account")

    def handle(self, *args: Any, email: str, **options: Any) -> None:
        user = User.objects.filter(email__iexact=email).first()
        if user is None:
            raise CommandError(f"There is no account with the address {email}.")
        if second_step.forget(user):
            self.stdout.write(f"{user.email} signs in with one step now, and is then asked to set up a new second one.")
        else:
            self.stdout.write(f"{user.email} has no second step; nothing was changed.")
