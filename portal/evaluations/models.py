"""Evaluations: unchanging, numbered editions of what the coach published."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.intake.models import Submission
from portal.people.models import Player, User


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
        constraints = [
            models.UniqueConstraint(fields=["submission", "edition"], name="editions_are_numbered"),
            models.CheckConstraint(condition=models.Q(edition__gte=1), name="editions_count_from_one"),
        ]
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


class Question(models.Model):
    """What a family asks the coach about an edition, and the answer. Whoever may read the evaluation reads both: nothing between
    a coach and a child is hidden from a guardian.
    """

    evaluation = models.ForeignKey(Evaluation, on_delete=models.CASCADE, related_name="questions")
    asked_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    words = models.TextField(max_length=600)
    asked_at = models.DateTimeField(default=timezone.now)
    answer = models.TextField(blank=True, max_length=3000)
    answered_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    answered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["asked_at", "pk"]
        indexes = [models.Index(fields=["evaluation"], condition=models.Q(answered_at=None), name="open_questions")]

    def __str__(self) -> str:
        return f"Question of {self.asked_at:%Y-%m-%d}"


class What(models.TextChoices):
    """What of a child somebody can look at; the labels go on from "looked at"."""

    FILM = "film", _("the film")
    FRAMES = "frames", _("the film frame by frame")
    PICTURES = "pictures", _("pictures from the film")
    NUMBERS = "numbers", _("the numbers")
    DRAFT = "draft", _("the draft of the evaluation")
    PREVIEW = "preview", _("the draft as it will be read")
    EVALUATION = "evaluation", _("the evaluation")
    PDF = "pdf", _("the evaluation’s PDF")
    PAGE = "page", _("the clip’s page")
    PLAYER = "player", _("the player’s page")
    ROW = "row", _("the owner’s tables")
    EMAIL = "letter", _("an email to the family")
    EXPORT = "export", _("a copy of everything kept")


class SeenAs(models.TextChoices):
    COACH = "coach", _("a coach of the camp")
    OWNER = "owner", _("the owner of this site")
    FAMILY = "family", _("the family")


class AccessLogEntry(models.Model):
    """The log of who saw what: one row for each look of a person at a thing, none within an hour of the one before.

    `portal/evaluations/access_log.py` writes it. `thing` is the submission, or the player where it was at no single one;
    `hour` and `half` count hours from two starts half an hour apart, so that two looks at the same moment share one of them.
    """

    user = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    name = models.CharField(max_length=254, blank=True, help_text=_("Of a coach or owner, for when the account goes."))
    seen_as = models.CharField(max_length=6, choices=SeenAs)
    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="access_log")
    submission = models.ForeignKey(Submission, null=True, on_delete=models.CASCADE, related_name="access_log")
    what = models.CharField(max_length=12, choices=What)
    at = models.DateTimeField(default=timezone.now)
    thing = models.UUIDField()
    hour = models.PositiveIntegerField()
    half = models.PositiveIntegerField()

    class Meta:
        verbose_name_plural = _("access log entries")
        constraints = [
            models.UniqueConstraint(fields=["user", "thing", "what", "hour"], name="one_entry_an_hour"),
            models.UniqueConstraint(fields=["user", "thing", "what", "half"], name="one_entry_an_hour_from_half"),
        ]

    def __str__(self) -> str:
        return f"{self.who} saw {self.get_what_display()}"

    @property
    def who(self) -> str:
        """The name they go by now, or went by when the account was there."""
        return str(self.user) if self.user else self.name
