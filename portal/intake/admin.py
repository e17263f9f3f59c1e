"""The owner's tables: consents, submissions, clips. States move through the app only; originals are shown to nobody."""

from django.contrib import admin

from portal.intake.models import Clip, Consent, Submission
from portal.people.readonly_admin import ReadOnly, ReadOnlyRows


class ClipRows(ReadOnlyRows):
    model = Clip
    fields = ["name", "size", "created_at"]
    readonly_fields = ["name", "size", "created_at"]


@admin.register(Submission)
class SubmissionAdmin(ReadOnly):
    list_display = ["player", "camp", "state", "state_since", "promised_by", "reviewer"]
    list_filter = ["state", "camp"]
    search_fields = ["player__first_name", "player__last_name"]
    inlines = [ClipRows]


@admin.register(Consent)
class ConsentAdmin(ReadOnly):
    list_display = ["player", "camp", "given_by", "wording", "training_too", "given_at", "taken_back_at"]
    list_filter = ["camp", "wording"]
    search_fields = ["player__first_name", "given_by__email"]


@admin.register(Clip)
class ClipAdmin(ReadOnly):
    list_display = ["name", "submission", "size", "created_at"]
    exclude = ["original"]
