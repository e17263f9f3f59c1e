"""`manage.py first_link`: the one-time link that makes the owner, for sets that `manage.py run` does not start."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from portal.owner import first_link


class Command(BaseCommand):
    help = "Print the one-time link behind which the site's owner is made. The link printed before opens nothing then."

    def handle(self, *args: Any, **options: Any) -> None:
        link = first_link.new_link()
        if link is None:
            raise CommandError("This site has an owner already. Another one: the owner's page about coaches.")
        self.stdout.write(link)
