from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from golfstats.ground.clubs.backup import write_backup


class Command(BaseCommand):
    """``backup golf.zip``: everything that is stored, as of one moment, while the service goes on."""

    help = "Write everything that is stored into a file."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        clubs = write_backup(options["file"])
        self.stdout.write(f"{clubs} clubs are in {options['file']}. Keep it safe: it holds everybody's golf.")
