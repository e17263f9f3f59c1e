from django.urls import path

from portal.drills import views

urlpatterns = [
    path("", views.drills, name="drills"),
    path("add/", views.add_drill, name="add_drill"),
    path("<slug:slug>/", views.drill, name="drill"),
    path("<slug:slug>/edit/", views.edit_drill, name="edit_drill"),
]
