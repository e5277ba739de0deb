from django.apps import AppConfig


class ApiConfig(AppConfig):
    name = "golfstats.doors.rest"
    label = "api"
