"""Addresses: one list per app, nested by object."""

from django.contrib import admin
from django.urls import include, path

from portal.people.entrance import RemovePasskey, switched_off
from portal.people.views import home

handler500 = "portal.disk_full_page.server_error"

urlpatterns = [
    path("", home, name="home"),
    path("accounts/email/", switched_off, name="account_email"),
    path("accounts/", include("allauth.account.urls")),
    path("accounts/second-step/webauthn/keys/<int:pk>/remove/", RemovePasskey.as_view(), name="mfa_remove_webauthn"),
    path("accounts/second-step/", include("allauth.mfa.urls")),
    path("", include("portal.people.urls")),
    path("", include("portal.camps.urls")),
    path("", include("portal.intake.urls")),
    path("", include("portal.measuring.urls")),
    path("", include("portal.desk.urls")),
    path("drills/", include("portal.drills.urls")),
    path("", include("portal.evaluations.urls")),
    path("look/", include("portal.look.urls")),
    path("owner/", include("portal.outbox.urls")),
    path("", include("portal.owner.urls")),
    path("", include("portal.health.urls")),
    path("", include("portal.privacy.urls")),
    path("admin/", admin.site.urls),
]
