from django.apps import AppConfig


class WebhooksConfig(AppConfig):
    name = "golfstats.webhooks"
    label = "webhooks"
