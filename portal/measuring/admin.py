"""The owner's tables: where each clip stands with the workers."""

from django.contrib import admin

from portal.measuring.models import Measurement
from portal.people.readonly_admin import ReadOnly


@admin.register(Measurement)
class MeasurementAdmin(ReadOnly):
    list_display = ["clip", "stage", "attempt", "seen_at", "finished_at", "failure_code"]
    list_filter = ["stage", "failure_code"]
