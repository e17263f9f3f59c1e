from django.apps import AppConfig


class HealthConfig(AppConfig):
    name = "portal.health"
    label = "health"
