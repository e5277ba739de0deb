from django.apps import AppConfig


class ClubsConfig(AppConfig):
    name = "golfstats.clubs"
    label = "clubs"
