from django.apps import AppConfig


class CampsConfig(AppConfig):
    name = "portal.camps"
    label = "camps"
