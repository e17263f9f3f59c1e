"""Work that is no page's to wait for: the PDF."""

from __future__ import annotations

from datetime import timedelta

from celery import shared_task
from django.utils import timezone

from portal.evaluations.models import Evaluation

LATE_AFTER = timedelta(minutes=2)


@shared_task
def make_pdf(evaluation_id: str) -> str:
    """Make and keep the PDF of an edition. Asked twice, the second finds it made; asked for a deleted one, it ends."""
    from portal.evaluations.pdf import keep_pdf  # WeasyPrint holds on to memory: workers only

    evaluation = Evaluation.objects.filter(pk=evaluation_id).first()
    if evaluation is None:
        return "gone"
    if evaluation.pdf:
        return "made before"
    return "made" if keep_pdf(evaluation) else "made before"


@shared_task
def find_missing_pdfs() -> int:
    """Ask again for PDFs that should be there by now: a lost message loses nothing."""
    late = Evaluation.objects.filter(pdf="", published_at__lt=timezone.now() - LATE_AFTER)
    asked = [str(pk) for pk in late.values_list("pk", flat=True)[:20]]
    for pk in asked:
        make_pdf.delay(pk)
    return len(asked)
