"""Invitations as a table to read; the owner's own pages send them and take them back."""

from django.contrib import admin

from portal.owner.models import CoachInvite
from portal.people.readonly_admin import ReadOnly


@admin.register(CoachInvite)
class CoachInviteAdmin(ReadOnly):
    list_display = ["email", "by", "sent_at", "accepted_by", "revoked_at"]
