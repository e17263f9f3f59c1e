"""Read an old clip again from its track: by the newest method and book, with what its coach moved by hand.

No film is needed. One conditional update keeps the new reading, so that doing it twice, or beside a coach who corrects just
now, does no harm. What is published holds its own copy of everything and is not touched.
"""

from __future__ import annotations

import logging
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Case, F, Q, QuerySet, When
from django.db.models.functions import Coalesce
from django.utils import timezone

from portal.desk import counting
from portal.desk.models import Review
from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import carrying, differences, door
from portal.measuring.carrying import Carried
from portal.measuring.models import Measurement, Reread, Retry, Stage, Trouble
from portal.measuring.numbering import NAMES_SWINGS, without_swings

log = logging.getLogger(__name__)

MAX_ATTEMPTS = 3
WHY = ("method", "book", "bands")
FIRST = (State.IN_REVIEW, State.READY)
Result = dict[str, Any]


def outdated() -> QuerySet[Measurement]:
    """Every reading by an older method or book, also those that can't be read again. And readings with other bands than those
    of their camp today, as long as they are not published.
    """
    measured = Measurement.objects.filter(stage=Stage.DONE, result__isnull=False)
    measured = measured.exclude(clip__submission__state=State.WITHDRAWN)
    other_bands = Q(read_bands__lt=F("clip__submission__camp__bands_version"))
    other_bands &= ~Q(clip__submission__state=State.PUBLISHED)
    return measured.filter(Q(read_method__lt=door.METHOD) | Q(read_book__lt=door.BOOK) | other_bands)


def waiting() -> QuerySet[Measurement]:
    """Those that are still to be read: what stopped before comes last, what coaches look at first, then the newest."""
    on_desks = Case(*(When(clip__submission__state=state, then=n) for n, state in enumerate(FIRST)), default=len(FIRST))
    left = outdated().exclude(pk__in=_given_up().values("measurement"))
    return left.order_by(Coalesce("retry__attempt", 0), on_desks, "-clip__created_at")


def left_as_they_are() -> QuerySet[Retry]:
    """Those that were tried and stay as they were read."""
    return _given_up().filter(measurement__in=outdated())


def _given_up() -> QuerySet[Retry]:
    bands = F("measurement__clip__submission__camp__bands_version")
    newest = Retry.objects.filter(method__gte=door.METHOD, book__gte=door.BOOK, bands__gte=bands)
    return newest.filter(~Q(trouble="") | Q(attempt__gte=MAX_ATTEMPTS))


def news_of(clip_id: UUID | None) -> str:
    """Which news of a clip its coach has not seen yet; empty when there is none."""
    return stamp(Reread.objects.filter(measurement__clip=clip_id).only("at").first())


def unseen(clip: Clip | None) -> Reread | None:
    """The news of a clip that its coach has not seen yet."""
    news: Reread | None = getattr(getattr(clip, "measurement", None), "reread", None)
    return news


def stamp(news: Reread | None) -> str:
    """Which news this is; empty when there is none."""
    return news.at.isoformat() if news else ""


def is_outdated(measurement: Measurement) -> bool:
    return bool(_newer(measurement))


def read_again(pk: int) -> str:
    """Read this one if it waits. How it ended: read, idle (nothing to do), kept (it stays as it was), again (an error of
    ours; it is tried a few times), or lost (its coach was quicker, or it is gone).

    The attempt is counted before anything is read, so that a track which takes its worker down is not tried forever.
    """
    measurement = waiting().filter(pk=pk).select_related("clip__submission__player", "clip__submission__camp").first()
    if measurement is None:
        return "idle"
    _begin(measurement)
    try:
        return _read(measurement)
    except FileNotFoundError as error:
        return _stays(measurement, Trouble.NO_TRACK, error)
    except OSError:  # of the storage: the others can wait, too
        raise
    except door.TracksError as error:
        return _stays(measurement, Trouble.DAMAGED, error)
    except door.CorrectionError as error:
        return _stays(measurement, Trouble.CORRECTIONS, error)
    except Exception:
        log.exception("Clip %s could not be read again.", measurement.clip_id)
        return "kept" if _is_worn_out(measurement) else "again"
    except BaseException:  # the worker is asked to stop
        Retry.objects.filter(measurement=measurement, attempt__gt=0).update(attempt=F("attempt") - 1)
        raise


def _begin(measurement: Measurement) -> None:
    bands = measurement.clip.submission.camp.bands_version
    older = Q(method__lt=door.METHOD) | Q(book__lt=door.BOOK) | Q(bands__lt=bands)
    Retry.objects.filter(older, measurement=measurement).delete()
    now = {"method": door.METHOD, "book": door.BOOK, "bands": bands}
    Retry.objects.get_or_create(measurement=measurement, defaults=now)
    Retry.objects.filter(measurement=measurement).update(attempt=F("attempt") + 1)


def _stays(measurement: Measurement, trouble: Trouble, error: Exception) -> str:
    log.warning("Clip %s stays as it was read: %s", measurement.clip_id, error)
    Retry.objects.filter(measurement=measurement).update(trouble=trouble)
    return "kept"


def _is_worn_out(measurement: Measurement) -> bool:
    return Retry.objects.filter(measurement=measurement, attempt__gte=MAX_ATTEMPTS).update(trouble=Trouble.FAILED) == 1


def _read(measurement: Measurement) -> str:
    if not measurement.tracks:
        raise FileNotFoundError("no track was kept")
    said = measurement.corrections or {}
    former: Result = measurement.result or {"swings": []}
    found = door.read_again(measurement, without_swings(said))
    carried = carrying.carried(said, former["swings"], found["swings"])
    names = any(carried.corrections.get(name) for name in NAMES_SWINGS)
    now = door.read_again(measurement, carried.corrections) if names else found
    return "read" if _keep(measurement, former, now, carried) else "lost"


@transaction.atomic
def _keep(measurement: Measurement, former: Result, now: Result, carried: Carried) -> bool:
    """Write the new reading, unless the row is another one by now."""
    changed = carried.corrections != (measurement.corrections or {})
    version = measurement.corrections_version
    mine = Measurement.objects.filter(
        pk=measurement.pk, stage=Stage.DONE, corrections_version=version,
        read_method=measurement.read_method, read_book=measurement.read_book, read_bands=measurement.read_bands,
    )  # fmt: skip
    columns = {"corrections": carried.corrections, "corrections_version": version + int(changed), **door.kept(now)}
    if not mine.update(**columns):
        return False
    Retry.objects.filter(measurement=measurement).delete()
    _note(measurement, former, now, carried)
    return True


def _note(measurement: Measurement, former: Result, now: Result, carried: Carried) -> None:
    """Let the draft look at the same swing, and keep for its coach what became different."""
    review = Review.objects.filter(submission__clips=measurement.clip_id).first()
    if review is None or former["swings"] == now["swings"]:
        return  # nobody knows the former one, or there is nothing to tell
    looked_at = carried.moved.get(review.swing, review.swing)
    if looked_at != review.swing:  # not a change of the draft: an open window goes on where it was
        Review.objects.filter(pk=review.pk, clip=measurement.clip_id, swing=review.swing).update(swing=looked_at)
    said = counting.said_of(review, measurement.clip_id)
    counting.renumber(measurement.clip_id, carried.moved, carried.gone)
    review.refresh_from_db(fields=["counting"])
    unseen = Reread.objects.filter(measurement=measurement).first()
    calls = differences.changed_calls(former, now, carried.moved)
    if (
        len(former["swings"]) > 1 or len(now["swings"]) > 1
    ):  # the coach knows the numbers of the clip, not of single swings
        later = counting.said_of(review, measurement.clip_id)
        calls = differences.changed_of_clip(counting.clip_readings(former, said), counting.clip_readings(now, later))
    swings = differences.changed_swings(now, carried.moved, carried.gone, carried.back)
    why = _newer(measurement)
    if unseen:
        calls = differences.together(unseen.calls, calls, carried.moved)
        why = [word for word in WHY if word in {*why, *unseen.why}]
        swings = swings or unseen.swings
    Reread.objects.update_or_create(
        measurement=measurement, defaults={"at": timezone.now(), "why": why, "calls": calls, "swings": swings}
    )


def _newer(measurement: Measurement) -> list[str]:
    """What is newer today than in the reading that is kept."""
    submission = measurement.clip.submission
    newer = {
        "method": measurement.read_method < door.METHOD,
        "book": measurement.read_book < door.BOOK,
        "bands": submission.state != State.PUBLISHED and measurement.read_bands < submission.camp.bands_version,
    }
    return [word for word in WHY if newer[word]]
