from django.apps import AppConfig


class HealthConfig(AppConfig):
    name = "portal.health"
    label = "health"

    def ready(self) -> None:
        from portal.health import checks  # noqa: F401 - registers them
