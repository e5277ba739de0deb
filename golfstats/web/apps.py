from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "golfstats.web"
    label = "web"
