from django.urls import path

from portal.look import views

urlpatterns = [
    path("", views.look, name="look"),
]
