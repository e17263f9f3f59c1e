from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "portal.desk"
    label = "desk"
