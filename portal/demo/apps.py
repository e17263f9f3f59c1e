from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "portal.demo"
    label = "demo"
