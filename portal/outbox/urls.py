from django.urls import path

from portal.outbox import views

urlpatterns = [
    path("outbox/", views.outbox, name="outbox"),
    path("outbox/<int:pk>/", views.letter, name="letter"),
    path("outbox/<int:pk>/again/", views.letter_again, name="letter_again"),
    path("outbox/<int:pk>/give-up/", views.letter_give_up, name="letter_give_up"),
]
