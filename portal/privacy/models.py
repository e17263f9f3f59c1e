"""What is left of somebody who was erased (no name), and what the site says about its keeping."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.people.models import Player


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


class Kept(models.TextChoices):
    """What a camp keeps for a while."""

    FILM = "film", _("film")
    PAGES = "pages", _("evaluations")


class Warned(models.Model):
    """That a family was told, `days` before, that something goes on `until`. A later clip moves the day, and then it is told
    anew.
    """

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="+")
    camp = models.ForeignKey(Camp, on_delete=models.CASCADE, related_name="+")
    what = models.CharField(max_length=5, choices=Kept)
    days = models.PositiveSmallIntegerField()
    until = models.DateField()
    on = models.DateField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["player", "camp", "what", "days", "until"], name="warned_once_each")
        ]

    def __str__(self) -> str:
        return f"{self.get_what_display()} until {self.until}"


class PrivacyText(models.Model):
    """The owner's own words on the privacy page; one row at most."""

    ONE = 1

    id = models.PositiveSmallIntegerField(primary_key=True, default=ONE, editable=False)
    whom_to_ask = models.CharField(
        _("whom to ask"), max_length=200, blank=True, help_text=_("A name with an address or telephone number.")
    )
    words = models.TextField(
        _("your own words"), blank=True, help_text=_("Who runs this site and what else families should know.")
    )
    changed_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return "Privacy page"

    @classmethod
    def current(cls) -> PrivacyText:
        return cls.objects.filter(pk=cls.ONE).first() or cls()
