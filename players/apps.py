from django.apps import AppConfig


class PlayersConfig(AppConfig):
    name = "players"

    def ready(self) -> None:
        # Registers what the worker can do with the outbox.
        from players import course_changes, tasks  # noqa: F401, PLC0415
        from players.coaching import tasks as coaching_tasks  # noqa: F401, PLC0415
        from players.conditions import worker  # noqa: F401, PLC0415
