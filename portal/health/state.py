"""How the site is: each part looked at by itself, so that one that is down does not hide the others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeVar

import redis
from django.conf import settings
from django.db import DatabaseError, connection
from django.db.models import Max, Min
from django.utils import timezone
from django.utils.timesince import timesince
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal.backup import making
from portal.health import model_file
from portal.health.models import Heartbeat, Part
from portal.intake import room
from portal.measuring import queue, rereading
from portal.measuring.models import NO_ROOM, Measurement, Stage, Trouble
from portal.outbox.post_office import has_server
from portal.outbox.said import NO_SERVER
from portal.outbox.standing import Standing, standing
from portal.people.models import User

T = TypeVar("T")
SILENCE = timedelta(seconds=90)  # beat sends every 15 s
LONG_WAIT = timedelta(hours=1)
OLD_BACKUP = timedelta(days=2)
NEW_SITE = timedelta(days=1)  # has nothing yet whose loss a backup would spare
OWNERS_ALONE = {"reread", "backup"}  # advice: nothing of them is told to machines, or to anybody but the owner


@dataclass(frozen=True)
class Finding:
    """One part: whether it is well, what was seen, and what to do when it is not. Without `is_alarm` nothing fails:
    the owner is asked to look, and machines that watch the site are not woken."""

    id: str
    name: str
    ok: bool
    seen: str
    todo: str = ""
    is_alarm: bool = True

    @property
    def is_failing(self) -> bool:
        return self.is_alarm and not self.ok


def findings() -> list[Finding]:
    """Every part in the order in which they stand on each other. Never raises for a part that is down."""
    return [
        look()
        for look in (_database, _queue, _worker, _measurer, _waiting, _reread, _mailer, _mail, _disk, _backup, _model)
    ]


def last_sign(part: Part) -> datetime | None:
    """When the part was last seen at work. A measurer that is busy with one clip shows it by that clip's progress."""
    beat = Heartbeat.objects.filter(part=part).values_list("at", flat=True).first()
    if part == Part.MEASURER:
        busy = Measurement.objects.aggregate(last=Max("seen_at"))["last"]
        return max((at for at in (beat, busy) if at), default=None)
    return beat


def _database() -> Finding:
    name = _("Database")
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return Finding(
            "database", name, False, _("does not answer"), _("Look whether it runs and DATABASE_URL is right.")
        )
    return Finding("database", name, True, _("%(kind)s answers") % {"kind": connection.vendor})


def _queue() -> Finding:
    name = _("Queue")
    try:
        waiting = sum(queue.length(one) for one in queue.NAMES)
    except (redis.RedisError, OSError):
        return Finding("queue", name, False, _("does not answer"), _("Look whether Redis runs and REDIS_URL is right."))
    said = ngettext("%(count)d message waits", "%(count)d messages wait", waiting) % {"count": waiting}
    return Finding("queue", name, True, said)


def _worker() -> Finding:
    return _alive("worker", Part.WORKER)


def _measurer() -> Finding:
    return _alive("measurer", Part.MEASURER)


def _mailer() -> Finding:
    return _alive("mailer", Part.MAILER)


def _alive(id_: str, part: Part) -> Finding:
    name, todo = str(part.label), _("Look at the logs of worker and beat, and start them again.")
    at = _quietly(lambda: last_sign(part))
    if at is None:
        return Finding(id_, name, False, _("no sign of life yet"), todo)
    ok = timezone.now() - at < SILENCE
    return Finding(id_, name, ok, _("last active %(ago)s ago") % {"ago": _span(at)}, "" if ok else todo)


def _waiting() -> Finding:
    """How long the clip waits that waits longest."""
    name = _("Clips waiting")
    rows = Measurement.objects.filter(stage=Stage.WAITING).order_by("clip__created_at")
    times = _quietly(lambda: list(rows.values_list("clip__created_at", flat=True))) or []
    if not times:
        return Finding("waiting", name, True, _("none"))
    ok = timezone.now() - times[0] < LONG_WAIT
    seen = _("%(count)d, the oldest for %(ago)s") % {"count": len(times), "ago": _span(times[0])}
    return Finding(
        "waiting", name, ok, seen, "" if ok else _("Start more workers for clips, or look why they stand still.")
    )


def _reread() -> Finding:
    """Clips that a newer method is still to read. No alarm: what was read before stands there until then."""
    name = _("Readings by an older method")
    left = _quietly(lambda: rereading.waiting().count()) or 0
    stays = _quietly(lambda: list(rereading.left_as_they_are().values_list("trouble", flat=True))) or []
    seen = ngettext("%(n)d clip is left to be read again", "%(n)d clips are left to be read again", left) % {"n": left}
    seen = seen if left else _("none left to be read again")
    gone = sum(1 for trouble in stays if trouble == Trouble.NO_TRACK)
    failed = len(stays) - gone
    if gone:
        seen += "; " + ngettext(
            "%(n)d stays as it was, for its track is not kept",
            "%(n)d stay as they were, for their tracks are not kept",
            gone,
        ) % {"n": gone}
    if not failed:
        return Finding("reread", name, True, seen, is_alarm=False)
    seen += "; " + ngettext("%(n)d could not be read again", "%(n)d could not be read again", failed) % {"n": failed}
    todo = _(
        "They stand as they were read. The log of the worker for clips says why; manage.py read_again tries once more."
    )
    return Finding("reread", name, False, seen, todo, is_alarm=False)


def _mail() -> Finding:
    """Whether emails leave: when one last did, how many wait since when, and what the server says where it takes none."""
    name = _("Emails")
    if not has_server():
        if settings.DEMO:
            return Finding("mail", name, True, _("in this demo no email leaves the machine; the outbox shows them"))
        seen = _("no mail server is named, so nobody can sign in by code")
        return Finding("mail", name, False, seen, str(NO_SERVER), is_alarm=False)
    now = _quietly(standing)
    if now is None:
        return Finding("mail", name, False, _("cannot be counted while the database is down"))
    seen = _mail_words(now)
    if now.trouble:
        return Finding("mail", name, False, seen, _("The mail server takes none: %(said)s") % {"said": now.trouble})
    todo = _(
        "They wait though the mail server says nothing against it: look at the worker for email, and at the outbox."
    )
    return Finding("mail", name, not now.is_late, seen, todo if now.is_late else "")


def _mail_words(now: Standing) -> str:
    last = _("last sent %(ago)s ago") % {"ago": _span(now.last_sent)} if now.last_sent else _("none sent so far")
    since = {"count": now.waiting, "ago": _span(now.oldest)} if now.oldest else {}
    waiting = _("%(count)d waiting, the oldest for %(ago)s") % since if since else _("none waiting")
    given_up = _("%(count)d given up this week") % {"count": now.given_up}
    return "; ".join([last, waiting, *([given_up] if now.given_up else [])])


def _disk() -> Finding:
    name = _("Room on the disk")
    ok = _quietly(lambda: room.is_there_for(room.USUAL_CLIP))
    seen = _("%(free).1f GB free") % {"free": room.free() / 1e9}
    if ok or ok is None:
        return Finding("disk", name, True, seen)
    if waiting := _quietly(lambda: Measurement.objects.filter(stage=Stage.WAITING, failure_code=NO_ROOM).count()):
        seen += "; " + ngettext("%(n)d clip waits for room", "%(n)d clips wait for room", waiting) % {"n": waiting}
    return Finding(
        "disk", name, False, seen, _("Make room: clips are refused before the disk is full, and go on then.")
    )


def _backup() -> Finding:
    """Advice to the owner, and no reason for an alarm: a site without a backup works."""
    name, at = _("Newest backup"), making.last()
    todo = _("Let manage.py backup run each night: README.md, “Backup and restore”.")
    if at is None and settings.DEMO:
        return Finding("backup", name, True, _("none was made, and a demo needs none"), is_alarm=False)
    if at is None:
        is_new = _is_new()
        seen = _("none was made yet, for the site is new") if is_new else _("none was made yet")
        return Finding("backup", name, is_new, seen, todo, is_alarm=False)
    ok = timezone.now() - at < OLD_BACKUP
    return Finding("backup", name, ok, _("%(ago)s ago") % {"ago": _span(at)}, "" if ok else todo, is_alarm=False)


def _is_new() -> bool:
    """By its first account: nothing else is as old as a site."""
    first = _quietly(lambda: User.objects.aggregate(first=Min("date_joined"))["first"])
    return first is None or timezone.now() - first < NEW_SITE


def _model() -> Finding:
    name = _("Pose model")
    path = model_file.path()
    if path.is_file():
        return Finding("model", name, True, _("%(file)s is there") % {"file": path.name})
    return Finding("model", name, False, _("%(file)s is missing") % {"file": path.name}, model_file.HINT)


def _quietly(ask: Callable[[], T]) -> T | None:
    try:
        return ask()
    except DatabaseError:
        return None


def _span(at: datetime) -> str:
    seconds = (timezone.now() - at).total_seconds()
    if seconds >= 60:
        return timesince(at, depth=1)
    whole = max(0, round(seconds))
    return ngettext("%(n)d second", "%(n)d seconds", whole) % {"n": whole}
