"""The owner's tables: camps."""

from django.contrib import admin

from portal.camps.models import Camp, Enrolment
from portal.people.choosing import Choosing


class EnrolmentInline(Choosing, admin.TabularInline):
    model = Enrolment
    autocomplete_fields = ["player"]
    extra = 0


@admin.register(Camp)
class CampAdmin(admin.ModelAdmin):
    list_display = ["name", "place", "starts_on", "turnaround_days", "invite_ends_at"]
    search_fields = ["name", "place"]
    filter_horizontal = ["coaches"]
    inlines = [EnrolmentInline]
