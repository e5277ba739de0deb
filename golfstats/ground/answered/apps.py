from django.apps import AppConfig


class AnsweredConfig(AppConfig):
    name = "golfstats.ground.answered"
    label = "api"
