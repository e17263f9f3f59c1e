from django.urls import path

from portal.camps import views, views_bands

urlpatterns = [
    path("camps/", views.camps, name="camps"),
    path("camps/new/", views.camp_new, name="camp_new"),
    path("camps/<int:pk>/", views.camp, name="camp"),
    path("camps/<int:pk>/edit/", views.camp_edit, name="camp_edit"),
    path("camps/<int:pk>/bands/", views_bands.camp_bands, name="camp_bands"),
    path("camps/<int:pk>/bands/<str:level>/", views_bands.camp_bands, name="camp_bands_level"),
    path("camps/<int:pk>/invite/", views.camp_invite, name="camp_invite"),
]
