from django.apps import AppConfig


class DrillsConfig(AppConfig):
    name = "portal.drills"
    label = "drills"
