from django.urls import path

from portal.people import views, views_minors

urlpatterns = [
    path("sign-in/email/", views.awaited_email, name="awaited_email"),
    path("family/", views.family, name="family"),
    path("family/name/", views.name, name="name"),
    path("players/<uuid:pk>/", views.player, name="player"),
    path("players/<uuid:pk>/edit/", views.player_edit, name="player_edit"),
    path("players/<uuid:pk>/sign-in/", views.player_invite, name="player_invite"),
    path("players/<uuid:pk>/age/", views_minors.player_age, name="player_age"),
    path("players/<uuid:pk>/guardian/", views_minors.guardian_invite, name="guardian_invite"),
    path("join/guardian/<str:token>/", views_minors.join_guardian, name="join_guardian"),
    path("join/player/<str:token>/", views.join_player, name="join_player"),
]
