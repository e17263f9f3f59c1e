from django.urls import path

from portal.health import views

urlpatterns = [
    path("health/", views.health, name="health"),
    path("owner/health/", views.health_page, name="health_page"),
    path("owner/health/measure-again/<uuid:pk>/", views.measure_again, name="measure_again"),
]
