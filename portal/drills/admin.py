"""The owner's tables: the drill library."""

from django.contrib import admin

from portal.drills.models import Drill
from portal.people.choosing import Choosing


@admin.register(Drill)
class DrillAdmin(Choosing, admin.ModelAdmin):
    list_display = ["title", "author", "retired"]
    list_filter = ["retired"]
    search_fields = ["title", "in_short"]
    autocomplete_fields = ["author"]
