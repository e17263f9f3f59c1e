"""Choosing a row by typing, in the owner's tables: what cannot be a row's number is chosen by nobody.

Django's own widgets look a refused choice up once more to show it, and break on what no column holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib.admin.options import BaseModelAdmin
from django.contrib.admin.widgets import AutocompleteSelect, AutocompleteSelectMultiple
from django.core.exceptions import ValidationError
from django.db.models import Field, ForeignKey, ManyToManyField
from django.http import HttpRequest


class _OfThoseThatCanBe:
    """The part of a widget that shows what is chosen."""

    field: Any

    def optgroups(self, name: str, value: Sequence[str], attrs: dict[str, Any] | None = None) -> Any:
        number = self.field.remote_field.model._meta.pk
        return super().optgroups(name, [one for one in value if can_be(number, one)], attrs)  # type: ignore[misc]


def can_be(number: Field[Any, Any], value: str) -> bool:
    """Whether a row of this primary key could have this number."""
    try:
        number.clean(value, None)  # no row yet
    except ValidationError:
        return False
    return True


class ChooseOne(_OfThoseThatCanBe, AutocompleteSelect):
    pass


class ChooseMany(_OfThoseThatCanBe, AutocompleteSelectMultiple):
    pass


class Choosing(BaseModelAdmin):
    """For a table, or rows within one, with `autocomplete_fields`."""

    def formfield_for_foreignkey(self, db_field: ForeignKey[Any, Any], request: HttpRequest, **kwargs: Any) -> Any:
        if db_field.name in self.get_autocomplete_fields(request):
            kwargs.setdefault("widget", ChooseOne(db_field, self.admin_site))
        return super().formfield_for_foreignkey(db_field, request, **kwargs)

    def formfield_for_manytomany(self, db_field: ManyToManyField[Any, Any], request: HttpRequest, **kwargs: Any) -> Any:
        if db_field.name in self.get_autocomplete_fields(request):
            kwargs.setdefault("widget", ChooseMany(db_field, self.admin_site))
        return super().formfield_for_manytomany(db_field, request, **kwargs)
