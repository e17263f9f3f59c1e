"""The owner's tables: published editions, which nobody edits, and who saw what."""

from django.contrib import admin

from portal.evaluations.models import AccessLogEntry, Evaluation
from portal.people.readonly_admin import ReadOnly


@admin.register(Evaluation)
class EvaluationAdmin(ReadOnly):
    list_display = ["submission", "edition", "published_at", "published_by", "pdf"]
    list_filter = ["published_at"]


@admin.register(AccessLogEntry)
class AccessLogEntryAdmin(ReadOnly):
    list_display = ["who", "seen_as", "what", "player", "submission", "at"]
    list_filter = ["what", "seen_as", "at"]
