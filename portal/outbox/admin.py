"""The owner's tables: letters."""

from django.contrib import admin

from portal.outbox.models import Letter
from portal.people.readonly_admin import ReadOnly


@admin.register(Letter)
class LetterAdmin(ReadOnly):
    list_display = ["subject", "to", "written_at", "forwarded", "trouble"]
    search_fields = ["to", "subject"]
