from django.apps import AppConfig


class ClubsConfig(AppConfig):
    name = "golfstats.ground.clubs"
    label = "clubs"

    def ready(self) -> None:
        from golfstats.ground.walls import lookups  # noqa: F401, PLC0415 - registers field__any_of
