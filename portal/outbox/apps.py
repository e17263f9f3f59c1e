from django.apps import AppConfig


class OutboxConfig(AppConfig):
    name = "portal.outbox"
    label = "outbox"
