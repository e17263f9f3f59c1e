"""Camps: a group of players that a coach evaluates together."""

from __future__ import annotations

import secrets
from datetime import timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.people.models import Level, Player, User


def new_invite_token() -> str:
    """128 bits, safe in a URL; kept in the database so that it can be revoked."""
    return secrets.token_urlsafe(16)


def default_invite_end() -> object:
    return timezone.now() + timedelta(days=60)


class Camp(models.Model):
    name = models.CharField(_("name"), max_length=80)
    place = models.CharField(_("place"), max_length=80, blank=True)
    starts_on = models.DateField(_("first day"), null=True, blank=True)
    ends_on = models.DateField(_("last day"), null=True, blank=True)
    turnaround_days = models.PositiveSmallIntegerField(
        _("promised turnaround"),
        default=7,
        help_text=_("Days from a clip to its evaluation, as promised to families."),
    )
    film_months = models.PositiveSmallIntegerField(
        _("film is kept for"), default=12, help_text=_("Months after the camp; then it is deleted.")
    )
    pages_months = models.PositiveSmallIntegerField(
        _("evaluations are kept for"), default=36, help_text=_("Months after the camp; then everything is deleted.")
    )
    welcome = models.TextField(_("words to families"), blank=True)
    coaches = models.ManyToManyField(User, related_name="camps", limit_choices_to={"is_coach": True})
    players = models.ManyToManyField(Player, related_name="camps", through="Enrolment")
    invite_token = models.CharField(max_length=40, unique=True, default=new_invite_token, editable=False)
    invite_ends_at = models.DateTimeField(_("invite link works until"), default=default_invite_end)
    bands_version = models.PositiveIntegerField(
        default=0,
        editable=False,
        help_text=_("Raised when the camp’s own bands change; what was read before is read again."),
    )
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-starts_on", "name"]

    def __str__(self) -> str:
        return self.name

    @property
    def invite_is_open(self) -> bool:
        return timezone.now() < self.invite_ends_at

    @property
    def lead_coach(self) -> User | None:
        """Whom families read about: somebody who coaches here now."""
        able = models.Q(is_coach=True) | models.Q(is_staff=True)
        return self.coaches.filter(able, is_active=True).order_by("pk").first()


class OwnBand(models.Model):
    """The range that a camp wants to see of a checkpoint in place of the book's: for all of its players, or for one level.

    An end that is None is open. What stands for a level comes before what stands for all.
    """

    camp = models.ForeignKey(Camp, on_delete=models.CASCADE, related_name="own_bands")
    level = models.CharField(max_length=8, choices=Level, blank=True, help_text=_("Empty: all levels."))
    checkpoint = models.CharField(max_length=40)
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["camp", "level", "checkpoint"], name="one_band_per_level"),
            models.CheckConstraint(
                condition=models.Q(low__isnull=False) | models.Q(high__isnull=False), name="band_has_an_end"
            ),
            models.CheckConstraint(
                condition=models.Q(low=None) | models.Q(high=None) | models.Q(low__lt=models.F("high")),
                name="band_goes_up",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.checkpoint} in {self.camp}"


class BandChange(models.Model):
    """Who changed which band and when. `before` and `after` are [low, high]; null stands for the band that holds without."""

    camp = models.ForeignKey(Camp, on_delete=models.CASCADE, related_name="band_changes")
    level = models.CharField(max_length=8, choices=Level, blank=True)
    checkpoint = models.CharField(max_length=40)
    before: models.JSONField[list[float | None] | None, list[float | None] | None] = models.JSONField(null=True)
    after: models.JSONField[list[float | None] | None, list[float | None] | None] = models.JSONField(null=True)
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.checkpoint} in {self.camp}, {self.at:%Y-%m-%d}"


class Enrolment(models.Model):
    """A player in a camp."""

    camp = models.ForeignKey(Camp, on_delete=models.CASCADE)
    player = models.ForeignKey(Player, on_delete=models.CASCADE)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["camp", "player"], name="one_enrolment_per_camp")]

    def __str__(self) -> str:
        return f"{self.player} in {self.camp}"
