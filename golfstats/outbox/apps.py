from django.apps import AppConfig


class OutboxConfig(AppConfig):
    name = "golfstats.outbox"
    label = "outbox"
