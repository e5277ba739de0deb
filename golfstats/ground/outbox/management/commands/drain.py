from typing import Any

from django.core.management.base import BaseCommand

from golfstats.ground.outbox import worker


class Command(BaseCommand):
    """``drain``: do everything that is due and exit."""

    help = "Do the outstanding work of all clubs that is due, then exit."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"{worker.drain()} pieces of work were attempted.")
