from django.urls import path

from portal.people import views

urlpatterns = [
    path("family/", views.family, name="family"),
    path("family/name/", views.name, name="name"),
    path("players/<uuid:pk>/", views.player, name="player"),
    path("players/<uuid:pk>/edit/", views.player_edit, name="player_edit"),
    path("players/<uuid:pk>/sign-in/", views.player_invite, name="player_invite"),
    path("join/player/<str:token>/", views.join_player, name="join_player"),
]
