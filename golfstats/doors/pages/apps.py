from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "golfstats.doors.pages"
    label = "web"
