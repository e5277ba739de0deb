from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from golfstats.ground.clubs.purging import purge


class Command(BaseCommand):
    """``purge``: what beat does every night, for installations without it."""

    help = (
        "Forget what nobody needs any more: ended sessions and tokens, old sign-ins and counts, "
        "and rounds older than their club keeps them."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        for what, number in purge(timezone.now()).items():
            self.stdout.write(f"{number} {what}")
