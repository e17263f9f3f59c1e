"""The site itself, and invitations to coaches."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.people.models import User


class Site(models.Model):
    """The one row about this site (`Site.get()`)."""

    name = models.CharField(
        _("name of the site"), max_length=40, blank=True, help_text=_("Stands at the top of every page.")
    )
    first_link = models.CharField(max_length=64, blank=True, editable=False)  # hash of the link that makes the owner
    mail_tested_at = models.DateTimeField(null=True, editable=False)
    set_aside = models.BooleanField(default=False, editable=False)  # the first steps are no longer offered

    def __str__(self) -> str:
        return self.name or "Cagenote"

    @classmethod
    def get(cls) -> Site:
        return cls.objects.get_or_create(pk=1)[0]


class CoachInvite(models.Model):
    """An email with a link by which somebody becomes a coach here. It works for DAYS unless it is taken back."""

    DAYS = 14

    email = models.EmailField(_("email"))
    by = models.ForeignKey(User, on_delete=models.CASCADE, related_name="coach_invites_sent")
    camps = models.ManyToManyField(Camp, blank=True, related_name="coach_invites")
    sent_at = models.DateTimeField(default=timezone.now)
    accepted_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.SET_NULL, related_name="coach_invites_taken"
    )
    accepted_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-sent_at"]

    def __str__(self) -> str:
        return self.email

    @property
    def ends_at(self) -> datetime:
        return self.sent_at + timedelta(days=self.DAYS)

    @property
    def is_open(self) -> bool:
        return self.accepted_at is None and self.revoked_at is None and timezone.now() < self.ends_at
