from django.apps import AppConfig


class ApiConfig(AppConfig):
    name = "golfstats.api"
    label = "api"
