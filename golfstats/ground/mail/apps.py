from django.apps import AppConfig


class MailConfig(AppConfig):
    name = "golfstats.ground.mail"
    label = "mail"
