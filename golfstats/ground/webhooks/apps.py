from django.apps import AppConfig


class WebhooksConfig(AppConfig):
    name = "golfstats.ground.webhooks"
    label = "webhooks"
