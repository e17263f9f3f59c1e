"""Every mail that the app writes is a row first, so that it exists exactly when the change does that it tells of."""

from __future__ import annotations

import uuid
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class EmailState(models.TextChoices):
    WAITING = "waiting", _("waiting")
    SENDING = "sending", _("being sent")
    SENT = "sent", _("sent")
    GIVEN_UP = "given_up", _("given up")
    KEPT = "kept", _("kept here")


def new_message_id() -> str:
    """A Message-ID that stays the email's own through every attempt, so that a receiver can fold doubles."""
    host = (urlsplit(settings.SITE_URL).hostname or "localhost").strip("[]").replace(":", "-")
    return f"<{uuid.uuid4().hex}@{host}>"


class Email(models.Model):
    """One email to one address. `portal/outbox/sending.py` is the only place that moves it on."""

    to = models.CharField(max_length=254, db_index=True)
    sender = models.CharField(max_length=254)
    subject = models.CharField(max_length=200)
    body = models.TextField()
    parts = models.JSONField(default=dict, blank=True)  # what a message has beyond its text: portal/outbox/message.py
    message_id = models.CharField(max_length=255, default=new_message_id)
    written_at = models.DateTimeField(default=timezone.now)

    urgent = models.BooleanField(default=False)  # somebody waits for it before a page
    runs_out_at = models.DateTimeField(null=True, blank=True)  # of no use after this, so never sent then
    secret = models.BooleanField(default=False)  # opens something: shown to nobody, blanked after a day
    about = models.UUIDField(null=True, blank=True, db_index=True)  # the player it tells of; no tie, players go first

    state = models.CharField(max_length=8, choices=EmailState, default=EmailState.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    next_try_at = models.DateTimeField(default=timezone.now)
    tried_at = models.DateTimeField(null=True, blank=True)
    give_up_at = models.DateTimeField(null=True, blank=True)  # set by the first attempt
    sent_at = models.DateTimeField(null=True, blank=True)
    claim = models.CharField(max_length=32, blank=True)
    answer = models.CharField(max_length=500, blank=True)  # what the mail server last said, in words for the owner
    server_down = models.BooleanField(default=False)  # waits because of the mail server, not because of the address

    class Meta:
        ordering = ["-written_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "next_try_at"], name="email_due"),
            models.Index(fields=["written_at"], name="email_written"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"

    @property
    def alternatives(self) -> list[Any]:
        return list(self.parts.get("alternatives", []))
