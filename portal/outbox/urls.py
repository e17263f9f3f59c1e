from django.urls import path

from portal.outbox import views

urlpatterns = [
    path("outbox/", views.outbox, name="outbox"),
    path("outbox/<int:pk>/", views.email, name="email"),
    path("outbox/<int:pk>/again/", views.email_again, name="email_again"),
    path("outbox/<int:pk>/give-up/", views.email_give_up, name="email_give_up"),
]
