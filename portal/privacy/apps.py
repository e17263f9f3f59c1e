from django.apps import AppConfig


class PrivacyConfig(AppConfig):
    name = "portal.privacy"
    label = "privacy"
