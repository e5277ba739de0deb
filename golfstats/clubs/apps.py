from django.apps import AppConfig


class ClubsConfig(AppConfig):
    name = "golfstats.clubs"
    label = "clubs"

    def ready(self) -> None:
        from golfstats.clubs import lookups  # noqa: F401, PLC0415 - registers field__any_of
