"""The owner's tables: people. The admin is entered through the same sign-in as everything else."""

from __future__ import annotations

from typing import Any

import allauth.account.admin
import allauth.mfa.admin  # noqa: F401  (registered here, so that they can be taken out below)
from allauth.account.decorators import secure_admin_login
from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.contrib import admin
from django.contrib.auth import logout
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import AdminPasswordChangeForm, AdminUserCreationForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from portal.form_address import form_stands_at
from portal.people import proving
from portal.people.choosing import Choosing
from portal.people.models import Player, User
from portal.people.readonly_admin import Noted

admin.site.site_header = admin.site.site_title = "Cagenote"
admin.site.index_title = _("All tables")
admin.site.login = secure_admin_login(admin.site.login)  # type: ignore[method-assign]
admin.site.password_change = lambda request, extra_context=None: redirect("account_change_password")  # type: ignore
for table in (EmailAddress, Authenticator):  # rows that sign-in itself writes; an authenticator's hold secrets
    admin.site.unregister(table)


@form_stands_at(lambda request, extra_context=None: reverse("admin:index"))
def _leave(request: HttpRequest, extra_context: object = None) -> HttpResponse:
    """Out of the whole site, and to its own front page."""
    logout(request)
    return redirect("home")


admin.site.logout = _leave  # type: ignore[method-assign,assignment]
WITHOUT = _("Off: signs in by an emailed code alone.")


class NewUserForm(AdminUserCreationForm):
    usable_password = AdminUserCreationForm.create_usable_password_field(WITHOUT)

    class Meta:
        model = User
        fields = ("email", "name", "is_coach")


class PasswordForm(AdminPasswordChangeForm):
    usable_password_help_text = WITHOUT  # type: ignore[assignment]


@admin.register(User)
class PersonAdmin(UserAdmin):
    """Coaches are made here: give them an address, tick coach, and they sign in by mailed code."""

    add_form = NewUserForm
    change_password_form = PasswordForm
    ordering = ["email"]
    list_display = ["email", "name", "is_coach", "is_staff", "is_active", "last_login"]
    list_filter = ["is_coach", "is_staff", "is_active"]
    search_fields = ["email", "name"]
    readonly_fields = ["last_login", "date_joined"]
    filter_horizontal = []
    fieldsets = [
        (None, {"fields": ["email", "name", "password"]}),
        (_("May"), {"fields": ["is_active", "is_coach", "is_staff", "is_superuser"]}),
        (_("When"), {"fields": ["last_login", "date_joined"]}),
    ]
    add_fieldsets = [(None, {"fields": ["email", "name", "is_coach", "usable_password", "password1", "password2"]})]

    def save_model(self, request: HttpRequest, obj: User, form: Any, change: bool) -> None:
        """A changed address takes the old one's place at once: no code goes to the old one any more."""
        super().save_model(request, obj, form, change)
        if "email" in form.changed_data:
            proving.row_of(obj)


@admin.register(Player)
class PlayerAdmin(Choosing, Noted):
    list_display = ["__str__", "birth_year", "hits", "sport"]
    list_filter = ["sport", "hits"]
    search_fields = ["first_name", "last_name"]
    autocomplete_fields = ["user", "guardians"]
    readonly_fields = ["adult_said_at", "adult_said_by"]
