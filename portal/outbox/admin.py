"""The owner's tables: emails."""

from django.contrib import admin

from portal.outbox.models import Email
from portal.people.readonly_admin import ReadOnly


@admin.register(Email)
class EmailAdmin(ReadOnly):
    """Without the text: what opens something (a code, a link) is nobody's to read but the addressee's."""

    list_display = ["subject", "to", "written_at", "state", "attempts", "answer"]
    list_filter = ["state"]
    search_fields = ["to", "subject"]
    exclude = ["body", "parts", "claim"]
