"""A site of its own with two families in one camp, built in a folder: SQLite in a file, the Redis that comes along.

Run as `python -m tests.portal.privacy.family_site WHAT` with DATA_DIR set to a folder with the tables; WHAT is build, erase, again or
restore. What `build` prints are the words by which the first family can be found, as a JSON list.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"
MOTHER, CHILD = "quendolin.wintermoor@example.org", "thekla.wintermoor@example.org"
OLDER = "older"
QUEUE_HELD = "queue.txt"


@contextmanager
def queue() -> Iterator[None]:
    """The bundled Redis, as the embedded set starts it; its file is written at the end."""
    import redis
    from django.conf import settings

    from portal.health import bundled_redis

    bundled_redis.prepare_socket()
    process = subprocess.Popen(bundled_redis.command(), stdout=subprocess.DEVNULL)
    try:
        client = redis.Redis.from_url(settings.REDIS_URL)
        for _ in range(200):
            try:
                client.ping()
                break
            except redis.ConnectionError:
                time.sleep(0.05)
        yield
        while client.info("persistence")["rdb_bgsave_in_progress"]:
            time.sleep(0.05)
        client.save()
        Path(os.environ["DATA_DIR"]).with_name(QUEUE_HELD).write_text(_held(client))
    finally:
        process.terminate()
        process.wait(10)


def _held(client: Any) -> str:
    """All that stands in Redis in readable form: its own file is packed, and so are messages within it."""
    lines = []
    for key in client.keys("*"):
        kind = client.type(key).decode()
        values = {
            "list": lambda key=key: client.lrange(key, 0, -1),
            "hash": lambda key=key: client.hgetall(key).values(),
            "set": lambda key=key: client.smembers(key),
            "zset": lambda key=key: client.zrange(key, 0, -1),
            "string": lambda key=key: [client.get(key)],
        }[kind]()
        for value in values:
            text = value.decode(errors="replace")
            body = re.search(r'"body": "([^"]+)"', text)
            lines.append(f"{key.decode()} {text} {base64.b64decode(body[1]).decode() if body else ''}")
    return "\n".join(lines)


def build() -> list[str]:
    from django.core.management import call_command
    from django.test import Client

    from portal.camps.models import Camp
    from portal.people.models import User

    coach = User.objects.create_user("maren@example.org", name="Maren Oduya", is_coach=True)
    owner = User.objects.create_user("owner@example.org", name="Oda Verne", is_staff=True, is_superuser=True)
    camp = Camp.objects.create(name="Lindholt fall camp")
    camp.coaches.add(coach)
    words = family(camp, coach, "Thekla", "Wintermoor", MOTHER, CHILD)
    family(camp, coach, "Joris", "Achterberg", "ruben@example.org", "joris@example.org")
    _owner_looks_on(owner)
    # somebody is on the way in with the mother's address, and waits for the code
    Client().post(f"/join/{camp.invite_token}/", {"email": MOTHER}, headers={"host": "localhost"})
    _copy(Path(os.environ["DATA_DIR"]))
    call_command("backup", _backup())
    return words


def family(camp: Any, coach: Any, first: str, last: str, mother: str, child: str) -> list[str]:
    """One of everything that can hang on a family; the words by which it is found."""
    from allauth.account.models import EmailAddress
    from django.core.files.base import ContentFile
    from django.core.files.storage import default_storage
    from django.test import Client
    from django.utils import timezone

    from portal.desk.models import Phrase, Review
    from portal.evaluations import asking
    from portal.evaluations.models import Evaluation, PracticeDay
    from portal.evaluations.snapshot import build as snapshot
    from portal.intake import consent, mails
    from portal.intake.models import Clip, Submission, Upload
    from portal.measuring import queue as line
    from portal.measuring import workplaces
    from portal.measuring.models import Measurement
    from portal.people import invites
    from portal.people.models import Player, User

    guardian = User.objects.create_user(mother, name=f"{last} mother")
    own = User.objects.create_user(child, name=f"{first} {last}")
    for user in (guardian, own):
        EmailAddress.objects.create(user=user, email=user.email, verified=True, primary=True)
    player = Player.objects.create(first_name=first, last_name=last, birth_year=date.today().year - 11, user=own)
    player.guardians.add(guardian)
    consent.give(player, camp, guardian, training_too=False)
    note = f"A sore {first[::-1]} wrist. " * 30
    sent = Submission.objects.create(player=player, camp=camp, sent_by=guardian, state="ready", note=note)
    clip = Clip(submission=sent, name=f"{first}-{last}.MOV", sha256=first.lower() * 4)
    clip.original.save("clip", ContentFile(b"film of " + first.encode()), save=False)
    clip.save()
    default_storage.save(f"{clip.folder}/poster.jpg", ContentFile(b"poster of " + first.encode()))
    measurement = Measurement.objects.create(clip=clip, stage="waiting", products=clip.folder)
    sent.move("in_review", reviewer=coach)
    review = Review.objects.create(submission=sent, greeting=f"Hi {first} {last}!", good=["You stay tall."])
    edition = Evaluation(submission=sent, edition=1, published_by=coach, snapshot=snapshot(review, coach, 1))
    edition.save()
    default_storage.save(f"{edition.folder}/picture-1.jpg", ContentFile(b"picture of " + first.encode()))
    PracticeDay.objects.create(evaluation=edition, drill="tee-ladder", day=date.today())
    asking.ask(edition, guardian, f"Is the {first[::-1]} wrist in the way?")
    asking.answer(edition.questions.get(), coach, f"No, {first}, it is not.")
    asking.ask(edition, own, f"May {first} use the old bat?")
    Phrase.objects.create(coach=coach, text=f"As {first} {last} does it.")
    mails.received(sent)
    mails.published(edition)
    mails.player_invite(
        player, guardian, f"{first.lower()}.second@example.org", invites.token_for(player, child, guardian)
    )
    later = timezone.now() + timedelta(days=1)
    begun = Upload.objects.create(
        submission=sent, begun_by=guardian, name=f"{first}-2.MOV", size=99, mark=f"{first} 99", expires_at=later
    )
    default_storage.save(f"incoming/{begun.pk}.part", ContentFile(b"half a film of " + first.encode()))
    keys = []
    for user in (guardian, own, coach):
        client = Client(headers={"host": "localhost"})
        client.force_login(user, backend=BACKEND)
        for page in (f"/submissions/{sent.pk}/", f"/evaluations/{edition.pk}/", f"/players/{player.pk}/"):
            client.get(page)
        keys.append(client.session.session_key)
    line.send(clip.pk)
    place = workplaces.root() / f"{clip.pk}-killed"
    place.mkdir(parents=True)
    (place / "frames").write_bytes(b"frames of " + first.encode())
    ids = [str(one.pk) for one in (player, sent, clip, edition, begun)]
    assert measurement.pk
    words = [first, last, mother, child, f"{first.lower()}.second", f"{first[::-1]} wrist", *ids, *keys[:2]]
    words.append(hashlib.sha256(mother.encode()).hexdigest())  # under which the sign-in codes are counted
    return [*words, *(one.replace("-", "") for one in ids)]


def _owner_looks_on(owner: Any) -> None:
    """The owner changes players in the admin, which keeps a log with their names."""
    from django.contrib.admin.models import CHANGE, LogEntry
    from django.contrib.contenttypes.models import ContentType

    from portal.people.models import Player

    kind = ContentType.objects.get_for_model(Player)
    for player in Player.objects.all():
        LogEntry.objects.create(
            user=owner, content_type=kind, object_id=str(player.pk), object_repr=str(player), action_flag=CHANGE,
            change_message=f"Changed {player}",
        )  # fmt: skip


def _copy(folder: Path) -> None:
    """An older state, as a backup would hold it."""
    from django.db import connection

    connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    older = folder.with_name(folder.name + "-" + OLDER)
    shutil.copytree(folder / "media", older / "media")
    shutil.copy(folder / "cagenote.sqlite3", older / "cagenote.sqlite3")


def bring_back(folder: Path) -> None:
    """Put the older state in the place of the present one, with the ledger left alone."""
    older = folder.with_name(folder.name + "-" + OLDER)
    for name in ("cagenote.sqlite3-wal", "cagenote.sqlite3-shm"):
        (folder / name).unlink(missing_ok=True)
    shutil.rmtree(folder / "media")
    shutil.copytree(older / "media", folder / "media")
    shutil.copy(older / "cagenote.sqlite3", folder / "cagenote.sqlite3")


def erase() -> list[str]:
    """The mother asks for it on the page; then what the worker would do."""
    from django.test import Client

    from portal.people.models import User
    from portal.privacy.tasks import finish_erasures

    client = Client(headers={"host": "localhost"})
    client.force_login(User.objects.get(email=MOTHER), backend=BACKEND)
    page = client.get("/family/erase/")
    assert "Thekla Wintermoor" in page.text, page.text
    answer = client.post("/family/erase/", {"sure": "on"})
    assert answer.status_code == 302, answer.text
    assert answer.headers["location"] == "/erased/"
    finish_erasures()
    return []


def again() -> list[str]:
    from django.core.management import call_command

    call_command("erase_again")
    return []


def restore() -> list[str]:
    """The backup from before the erasure, by the owner's own command."""
    from django.core.management import call_command

    call_command("restore", _backup(), "--replace")
    return []


def _backup() -> str:
    folder = Path(os.environ["DATA_DIR"])
    return str(folder.with_name(folder.name + ".backup"))


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    import django
    from django.conf import settings

    settings.STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    django.setup()
    with queue():
        print(json.dumps({"build": build, "erase": erase, "again": again, "restore": restore}[sys.argv[1]]()))


if __name__ == "__main__":
    main()
