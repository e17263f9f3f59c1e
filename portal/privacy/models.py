"""What is left of somebody who was erased (no name), and what the site says about its keeping."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp


class Kind(models.TextChoices):
    PLAYER = "player", _("a player")
    ACCOUNT = "account", _("a sign-in")
    COACH = "coach", _("a coach’s name")


class AskedBy(models.TextChoices):
    FAMILY = "family", _("at the family’s wish")
    THEMSELVES = "themselves", _("at their own wish")
    OWNER = "owner", _("by the owner")
    TIME = "time", _("because its time was over")
    AGAIN = "again", _("again, after a backup brought it back")


class Erasure(models.Model):
    """That something was erased. While it goes on the row holds ids and file names; at the end it holds neither."""

    kind = models.CharField(max_length=8, choices=Kind)
    asked_by = models.CharField(max_length=10, choices=AskedBy)
    at = models.DateTimeField(auto_now_add=True)
    files: models.JSONField[list[str], list[str]] = models.JSONField(default=list)
    folders: models.JSONField[list[str], list[str]] = models.JSONField(default=list)
    owed: models.JSONField[list[list[str]], list[list[str]]] = models.JSONField(
        default=list, help_text=_("Lines that the ledger did not take.")
    )
    ids: models.JSONField[list[str], list[str]] = models.JSONField(default=list)
    finished_at = models.DateTimeField(null=True, blank=True, db_index=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.at:%Y-%m-%d}"


class ConsentRecord(models.Model):
    """That a consent was given and ended, when, and in which words. Of whom, only somebody can tell who knows the player's
    id: it stands in the copy of everything that a family can take, and nowhere here (see portal/privacy/marks.py).
    """

    mark = models.CharField(max_length=64, db_index=True)
    camp = models.ForeignKey(Camp, null=True, on_delete=models.SET_NULL, related_name="+")
    wording = models.CharField(max_length=20)
    training_too = models.BooleanField(default=False)
    given_at = models.DateTimeField()
    ended_at = models.DateTimeField()

    class Meta:
        ordering = ["-ended_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.wording}, {self.given_at:%Y-%m-%d} to {self.ended_at:%Y-%m-%d}"
