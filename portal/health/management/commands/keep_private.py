"""`manage.py keep_private`: footage, database and keys on disk to their owner alone. `manage.py run` does it by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from portal import private_files


class Command(BaseCommand):
    help = "Take away from others what they may read in DATA_DIR and MEDIA_ROOT."
    requires_system_checks = ()  # they would complain of what is being put right

    def handle(self, *args: Any, **options: Any) -> None:
        private_files.keep(Path(settings.DATA_DIR), Path(settings.MEDIA_ROOT), settings.MEDIA_GROUP)
