from django.apps import AppConfig


class PostgresConfig(AppConfig):
    name = "golfstats.ground.postgres"
    label = "postgres"
