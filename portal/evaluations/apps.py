from django.apps import AppConfig


class EvaluationsConfig(AppConfig):
    name = "portal.evaluations"
    label = "evaluations"
