from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from golfstats.ground.clubs.backup import CannotRestoreError, restore_backup


class Command(BaseCommand):
    """``restore golf.zip``: what ``backup`` wrote, into a database that has been migrated and holds nothing."""

    help = "Put back what backup wrote, into an empty database."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            clubs = restore_backup(options["file"])
        except CannotRestoreError as error:
            raise CommandError(str(error)) from None
        self.stdout.write(f"{clubs} clubs are back.")
