"""Camps: a group of players that a coach evaluates together."""

from __future__ import annotations

import secrets
from datetime import timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.people.models import Player, User


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


class Enrolment(models.Model):
    """A player in a camp."""

    camp = models.ForeignKey(Camp, on_delete=models.CASCADE)
    player = models.ForeignKey(Player, on_delete=models.CASCADE)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["camp", "player"], name="one_enrolment_per_camp")]

    def __str__(self) -> str:
        return f"{self.player} in {self.camp}"
