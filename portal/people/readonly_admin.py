"""Tables that the owner reads and never edits: their rows are written by the app alone, or once and for all."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from portal import access


class Noted(admin.ModelAdmin):
    """A table with rows about children: opening one is noted, whatever for."""

    def get_object(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        found = super().get_object(request, *args, **kwargs)
        if found is not None:
            access.note_row(request.user, found)
        return found


class ReadOnly(Noted):
    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False


class ReadOnlyRows(admin.TabularInline):
    extra = 0
    can_delete = False

    def has_add_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False
