"""A disk that is really full, to the last byte: a family's withdrawal goes through all the same.

On a small file system in memory, which takes root to mount; elsewhere this is skipped.
"""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.slow

SCRIPT = """
import os, sys, django
django.setup()
from django.core.files.base import ContentFile
from django.db import OperationalError, connection
from pathlib import Path
from portal.camps.models import Camp
from portal.health import ballast
from portal.intake import consent, erase
from portal.intake.models import Clip, Submission
from portal.people.models import Player, User

if sys.argv[1] == "ballast":
    assert ballast.take_aboard()
camp = Camp.objects.create(name="Lindholt fall camp")
lea = User.objects.create_user("lea@example.org", name="Lea Sandvall")
ida = Player.objects.create(first_name="Ida", birth_year=2015)
consent.give(ida, camp, lea, training_too=False)
sent = Submission.objects.create(player=ida, camp=camp, sent_by=lea, state="ready")
for n in range(200):
    clip = Clip(submission=sent, name=f"{n}.mov", sha256=str(n))
    clip.original.save("x", ContentFile(b"film" * 100), save=False)
    clip.save()

with connection.cursor() as cursor:  # as after a start: SQLite's log begins anew, and wants room for it
    cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
with Path(os.environ["DATA_DIR"], "filling").open("wb", buffering=0) as filling:
    size = 1 << 20
    while size:
        try:
            filling.write(b"x" * size)
        except OSError:
            size //= 2
try:
    erase.withdraw(Submission.objects.get())
except OperationalError as error:
    print(error)
else:
    left = [path for path in Path(os.environ["DATA_DIR"], "media").rglob("*") if path.is_file()]
    print(Submission.objects.get().state, Clip.objects.count(), len(left))
"""


@pytest.mark.parametrize(("how", "said"), [("nothing", "full"), ("ballast", "withdrawn 0 0")])
def test_a_withdrawal_needs_the_ballast_and_goes_through_with_it(small_disk, how, said):
    run = small_disk(SCRIPT, how)
    assert said in run.stdout, run.stderr[-2000:]
