from django.urls import path

from portal.outbox import views

urlpatterns = [
    path("outbox/", views.outbox, name="outbox"),
    path("outbox/<int:pk>/", views.letter, name="letter"),
]
