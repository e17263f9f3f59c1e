from django.urls import path

from portal.camps import views

urlpatterns = [
    path("camps/", views.camps, name="camps"),
    path("camps/new/", views.camp_new, name="camp_new"),
    path("camps/<int:pk>/", views.camp, name="camp"),
    path("camps/<int:pk>/edit/", views.camp_edit, name="camp_edit"),
    path("camps/<int:pk>/invite/", views.camp_invite, name="camp_invite"),
]
