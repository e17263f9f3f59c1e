from django.apps import AppConfig


class MeasuringConfig(AppConfig):
    name = "portal.measuring"
    label = "measuring"
