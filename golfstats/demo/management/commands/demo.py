from __future__ import annotations

import signal
import socket
import sys
import time
from types import FrameType
from typing import Any

import waitress
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from golfstats.demo import loading, summary
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import thread, worker
from golfstats.ground.walls.scope import club_scope


class Command(BaseCommand):
    help = "Load the invented demo club if there is none, say what the service makes of it, and serve it."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="print the summary and end")
        parser.add_argument(
            "--plan-anew",
            action="store_true",
            help="have the away plan made again, and keep it in demo_fixtures",
        )
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, **options: Any) -> None:
        signal.signal(signal.SIGTERM, _end)
        if not options["once"]:
            _try_port(options["host"], options["port"])
        started = time.monotonic()
        self._say("Starting the database …")
        call_command("migrate", verbosity=0, interactive=False)
        club = self._club(plan_anew=options["plan_anew"])
        with club_scope(club.id):
            for line in summary.lines(club):
                self.stdout.write(line)
        self._say(f"\nReady after {time.monotonic() - started:.0f} s.")
        if not options["once"]:
            self._serve(options["host"], options["port"])

    def _club(self, *, plan_anew: bool) -> Club:
        description = loading.read_description()
        club = loading.find_club(description)
        if club is None:
            return loading.load(description, self._say, plan_anew=plan_anew)
        worker.drain()
        return club

    def _serve(self, host: str, port: int) -> None:
        # Imported late: the application may only be made once the database stands.
        from golfstats.wsgi import application  # noqa: PLC0415 - as said above

        self._say(f"\nServing on http://{host}:{port}/ (Ctrl-C ends it)")
        self._say(
            f"Sign in as manager, coach, greenkeeper or a player such as ingrid; password {loading.PASSWORD}"
        )
        try:
            waitress.serve(application, host=host, port=port, threads=8, _quiet=True)
        except KeyboardInterrupt:
            pass
        finally:
            thread.stop()
        self._say("Ended.")

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()


def _try_port(host: str, port: int) -> None:
    """Tell of a port that another program has at once, not after the minutes that the demo may take."""
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        socket.create_server((host, port), family=family).close()
    except OSError as refused:
        why = refused.strerror or str(refused)
        raise CommandError(f"Cannot serve on {host}:{port} ({why}). Choose another with --port.") from None


def _end(signum: int, frame: FrameType | None) -> None:  # noqa: ARG001 - the signature of a signal handler
    """End as after Ctrl-C, so that the embedded database is stopped as well."""
    sys.exit(0)
