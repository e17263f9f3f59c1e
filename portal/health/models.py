"""Signs of life of the parts that nobody sees."""

from __future__ import annotations

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class Part(models.TextChoices):
    WORKER = "worker", _("Worker for PDFs")
    MEASURER = "measurer", _("Worker for clips")
    MAILER = "mailer", _("Worker for email")


class Heartbeat(models.Model):
    """When a part last did something that beat had put into the queue: the whole way, end to end."""

    part = models.CharField(max_length=10, choices=Part, unique=True)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.get_part_display()} at {self.at}"

    @classmethod
    def write(cls, part: Part) -> None:
        cls.objects.update_or_create(part=part, defaults={"at": timezone.now()})


class Notice(models.Model):
    """When the owner was last told of something by email."""

    what = models.CharField(max_length=30, unique=True)
    told_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.what} at {self.told_at}"
