"""Mail that the app wrote, kept so that the owner (and the reader of a demo) can see it."""

from __future__ import annotations

from django.db import models


class Letter(models.Model):
    to = models.CharField(max_length=254, db_index=True)
    sender = models.CharField(max_length=254)
    subject = models.CharField(max_length=200)
    body = models.TextField()
    written_at = models.DateTimeField(auto_now_add=True)
    forwarded = models.BooleanField(default=False)
    trouble = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-written_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"
