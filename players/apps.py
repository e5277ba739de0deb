from importlib import import_module

from django.apps import AppConfig


class PlayersConfig(AppConfig):
    name = "players"

    def ready(self) -> None:
        # Each registers what the worker can do with the outbox.
        for room in ("club", "coaching", "conditions", "files", "handicap", "months", "plans", "record"):
            import_module(f"players.{room}.tasks")
