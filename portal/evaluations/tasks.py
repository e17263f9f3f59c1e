"""Work that is no page's to wait for: the PDF."""

from __future__ import annotations

import errno
from datetime import timedelta

from celery import shared_task
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from portal.after_commit import after_commit
from portal.evaluations.models import Evaluation

LATE_AFTER = timedelta(minutes=2)
MAX_ATTEMPTS = 3


@shared_task
def make_pdf(evaluation_id: str) -> str:
    """Make and keep the PDF of an edition. Asked twice, the second finds it made; asked for a deleted one, it ends.

    The attempt is counted before anything is made, so that a PDF which takes its worker down is not tried forever.
    """
    from portal.evaluations.pdf import keep_pdf  # WeasyPrint holds on to memory: workers only

    evaluation = Evaluation.objects.filter(pk=evaluation_id).first()
    if evaluation is None:
        return "gone"
    if evaluation.pdf:
        return "made before"
    row = Evaluation.objects.filter(pk=evaluation_id)
    begun = row.filter(pdf="", pdf_attempt__lt=MAX_ATTEMPTS)
    if not begun.update(pdf_attempt=F("pdf_attempt") + 1, pdf_tried_at=timezone.now(), pdf_trouble=""):
        return "given up"
    try:
        return "made" if keep_pdf(evaluation) else "made before"
    except OSError as full:
        if full.errno not in (errno.ENOSPC, errno.EDQUOT):
            row.update(pdf_trouble=f"{type(full).__name__}: {full}"[:2000])
            raise
        row.update(pdf_attempt=F("pdf_attempt") - 1)  # our disk's fault; it is asked for again
        return "no room"
    except Exception as trouble:
        row.update(pdf_trouble=f"{type(trouble).__name__}: {trouble}"[:2000])
        raise


@shared_task
def find_missing_pdfs() -> int:
    """Ask again for PDFs that should be there by now, a few times each: a lost message loses nothing."""
    before = timezone.now() - LATE_AFTER
    late = Evaluation.objects.filter(pdf="", pdf_attempt__lt=MAX_ATTEMPTS, published_at__lt=before)
    late = late.filter(Q(pdf_tried_at=None) | Q(pdf_tried_at__lt=before))
    asked = [str(pk) for pk in late.values_list("pk", flat=True)[:20]]
    for pk in asked:
        make_pdf.delay(pk)
    return len(asked)


def given_up() -> QuerySet[Evaluation]:
    """Editions whose PDF is tried no more, the newest first. One that a worker began just now is not among them."""
    worn_out = Evaluation.objects.filter(pdf="", pdf_attempt__gte=MAX_ATTEMPTS)
    stopped = ~Q(pdf_trouble="") | Q(pdf_tried_at__lt=timezone.now() - LATE_AFTER)
    return worn_out.filter(stopped).order_by("-published_at")


def make_pdf_again(evaluation: Evaluation) -> bool:
    """Ask for the PDF anew with a fresh count of attempts. False when it is not one that was given up."""
    worn_out = Evaluation.objects.filter(pk=evaluation.pk, pdf="", pdf_attempt__gte=MAX_ATTEMPTS)
    if not worn_out.update(pdf_attempt=0, pdf_tried_at=None, pdf_trouble=""):
        return False
    after_commit(make_pdf.delay, str(evaluation.pk))
    return True
