from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "portal.people"
    label = "people"
