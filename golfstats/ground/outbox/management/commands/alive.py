from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from golfstats.ground.outbox.health import HEARTBEAT_STALE_SECONDS
from golfstats.ground.outbox.models import WorkerHeartbeat
from golfstats.ground.outbox.work import Queue


class Command(BaseCommand):
    """``alive quick``: ends with an error if no worker has looked at this queue lately."""

    help = "Say whether a worker of this queue lives: for the health checks of containers."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("queue", choices=[queue.value for queue in Queue])

    def handle(self, *args: Any, **options: Any) -> None:
        beat = WorkerHeartbeat.objects.filter(name=options["queue"]).first()
        if beat is None or (timezone.now() - beat.beat_at).total_seconds() > HEARTBEAT_STALE_SECONDS:
            raise CommandError(f"no worker has looked at the queue {options['queue']} lately")
        self.stdout.write(f"swept at {beat.beat_at:%H:%M:%S}")
