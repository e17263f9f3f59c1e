from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "portal.intake"
    label = "intake"
