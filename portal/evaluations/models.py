"""Evaluations: unchanging, numbered editions of what the coach published."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.intake.models import Submission
from portal.people.models import User


class PublishedIsFixed(Exception):
    """A published edition was about to be changed; publish a new edition instead."""


class Evaluation(models.Model):
    """One edition. `snapshot` holds everything the page and the PDF need; nothing is looked up later."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    submission = models.ForeignKey(Submission, on_delete=models.CASCADE, related_name="evaluations")
    edition = models.PositiveSmallIntegerField()
    published_at = models.DateTimeField(default=timezone.now)
    published_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    snapshot: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField()
    pdf = models.CharField(
        max_length=200, blank=True, help_text=_("Storage name; filled once, when the worker has made it.")
    )
    pdf_attempt = models.PositiveSmallIntegerField(default=0, help_text=_("How often a worker began to make the PDF."))
    pdf_tried_at = models.DateTimeField(null=True, blank=True)
    pdf_trouble = models.TextField(blank=True, help_text=_("Why the last attempt failed; empty when it broke off."))

    class Meta:
        constraints = [models.UniqueConstraint(fields=["submission", "edition"], name="editions_are_numbered")]
        ordering = ["-edition"]

    def __str__(self) -> str:
        return f"{self.submission.player}, edition {self.edition}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise PublishedIsFixed("A published edition stays as it is. Publish a new edition instead.")
        super().save(*args, **kwargs)

    def keep_pdf(self, name: str) -> bool:
        """Note the finished PDF once; a second maker changes nothing and gets False."""
        return Evaluation.objects.filter(pk=self.pk, pdf="").update(pdf=name) == 1

    @property
    def folder(self) -> str:
        return f"evaluations/{self.pk}"


class PracticeDay(models.Model):
    """The player's own tick: did the drill that day."""

    evaluation = models.ForeignKey(Evaluation, on_delete=models.CASCADE, related_name="practice_days")
    drill = models.CharField(max_length=60)
    day = models.DateField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["evaluation", "drill", "day"], name="one_tick_a_day")]

    def __str__(self) -> str:
        return f"{self.drill} on {self.day}"


class Sight(models.Model):
    """The log of who saw what: one row per person, thing and day."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    submission = models.ForeignKey(Submission, on_delete=models.CASCADE, related_name="sights")
    what = models.CharField(
        max_length=12, choices=[("clip", _("clip")), ("desk", _("desk")), ("evaluation", _("evaluation"))]
    )
    day = models.DateField()
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "submission", "what", "day"], name="one_sight_a_day")]

    def __str__(self) -> str:
        return f"{self.user} saw {self.what}"
