from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules


class OutboxConfig(AppConfig):
    name = "golfstats.ground.outbox"
    label = "outbox"

    def ready(self) -> None:
        # Every app registers its handlers, and this one its Celery tasks, in a module of this name.
        autodiscover_modules("tasks")
