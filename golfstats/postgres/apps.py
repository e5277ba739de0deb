from django.apps import AppConfig


class PostgresConfig(AppConfig):
    name = "golfstats.postgres"
    label = "postgres"
