from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "portal.people"
    label = "people"

    def ready(self) -> None:
        from portal.people import proving  # noqa: F401  (its receiver)
