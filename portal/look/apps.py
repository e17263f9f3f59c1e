from django.apps import AppConfig


class LookConfig(AppConfig):
    name = "portal.look"
    label = "look"
