from django.apps import AppConfig


class OwnerConfig(AppConfig):
    name = "portal.owner"
    label = "owner"
