"""Measuring: where a clip stands with the workers, and what came out."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from portal.intake.models import Clip


class Stage(models.TextChoices):
    WAITING = "waiting", _("waiting for a free worker")
    OPENING = "opening", _("opening the clip")
    FINDING = "finding", _("looking for the hitter")
    WATCHING = "watching", _("watching the swing, frame by frame")
    READING = "reading", _("reading the checkpoints")
    COPYING = "copying", _("making the pictures for the coach")
    DONE = "done", _("measured")
    FAILED = "failed", _("could not be measured")


RUNNING = (Stage.OPENING, Stage.FINDING, Stage.WATCHING, Stage.READING, Stage.COPYING)


NO_ROOM = "no_room"  # the failure code of a clip that waits because our disk is full


class Measurement(models.Model):
    """The one measurement of a clip. Claimed by conditional update; its files are whole before the row names them."""

    clip = models.OneToOneField(Clip, on_delete=models.CASCADE, related_name="measurement")
    stage = models.CharField(max_length=10, choices=Stage, default=Stage.WAITING, db_index=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    queued_at = models.DateTimeField(
        null=True, blank=True, help_text=_("When its message was last put into the queue.")
    )
    attempt = models.PositiveSmallIntegerField(default=0)
    claim = models.CharField(max_length=40, blank=True, help_text=_("Token of the worker that holds it."))
    seen_at = models.DateTimeField(null=True, blank=True, help_text=_("Last sign of life of that worker."))
    started_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    failure_code = models.CharField(max_length=30, blank=True)
    failure_words = models.TextField(blank=True)
    method = models.PositiveSmallIntegerField(default=0, help_text=_("Version of the method that made the tracks."))
    tracks = models.CharField(max_length=200, blank=True, help_text=_("Storage name of the tracks file."))
    products = models.CharField(
        max_length=200, blank=True, help_text=_("Storage folder of review copy, stills and poster.")
    )
    result: models.JSONField[dict[str, Any] | None, dict[str, Any] | None] = models.JSONField(null=True, blank=True)
    corrections: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(
        default=dict, blank=True, help_text=_("What the coach moved by hand; `result` is read with it.")
    )
    corrections_version = models.PositiveIntegerField(
        default=0, help_text=_("Guards against two windows overwriting each other.")
    )
    read_method = models.PositiveSmallIntegerField(
        default=0, help_text=_("Version of the method that read `result` from the tracks; 0 before it was kept.")
    )
    read_book = models.PositiveSmallIntegerField(
        default=0, help_text=_("Version of the checkpoint book that it was read with.")
    )
    read_bands = models.PositiveIntegerField(
        default=0, help_text=_("Version of the camp’s own bands that it was read with.")
    )
    read_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.clip}: {self.get_stage_display()}"

    @property
    def waits_for_room(self) -> bool:
        """Whether it waits because our disk is full: our trouble, and no attempt of the clip's."""
        return self.stage == Stage.WAITING and self.failure_code == NO_ROOM

    @property
    def has_no_swing(self) -> bool:
        """Measured to the end, and nobody swings in it."""
        return self.is_measured and not (self.result or {}).get("swings")

    @property
    def read_with(self) -> str:
        """What `result` was read with, as one word: another word, another reading of the same film."""
        return f"{self.read_method}.{self.read_book}.{self.read_bands}"

    @property
    def is_measured(self) -> bool:
        return self.stage == Stage.DONE and self.result is not None


class Trouble(models.TextChoices):
    """Why a clip stays as it was read."""

    NO_TRACK = "no_track", _("its track is not kept")
    DAMAGED = "damaged", _("its track is damaged")
    CORRECTIONS = "corrections", _("its corrections can’t be used any more")
    FAILED = "failed", _("reading it stopped three times")


class Retry(models.Model):
    """The attempts to read a clip again by a newer method or book; gone once it is read."""

    measurement = models.OneToOneField(Measurement, on_delete=models.CASCADE, related_name="retry")
    method = models.PositiveSmallIntegerField(help_text=_("What it was tried with."))
    book = models.PositiveSmallIntegerField()
    bands = models.PositiveIntegerField(default=0)
    attempt = models.PositiveSmallIntegerField(default=0)
    trouble = models.CharField(max_length=12, choices=Trouble, blank=True, help_text=_("Why it is tried no more."))

    def __str__(self) -> str:
        return f"{self.measurement}: {self.get_trouble_display() or self.attempt}"


class Reread(models.Model):
    """What became different when a clip was read again, until its coach has seen it.

    calls   [{"swing", "checkpoint", "before", "after", "was", "now"}]: swing by its index today (-1 = the clip's
            swings together), calls, values in words
    swings  {"gone": [index before, …], "new": [index today, …], "back": bool}; back = one taken out may be there again
    why     what was newer: "method", "book", "bands"
    """

    measurement = models.OneToOneField(Measurement, on_delete=models.CASCADE, related_name="reread")
    at = models.DateTimeField()
    why: models.JSONField[list[str], list[str]] = models.JSONField(default=list)
    calls: models.JSONField[list[dict[str, Any]], list[dict[str, Any]]] = models.JSONField(default=list)
    swings: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(default=dict)

    def __str__(self) -> str:
        return f"{self.measurement.clip} read again"
