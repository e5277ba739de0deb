from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "golfstats.demo"
    label = "demo"
