from __future__ import annotations

from typing import Any

from django.core.management.base import CommandParser
from django.core.management.commands import migrate


class Command(migrate.Command):
    """``migrate`` as the owner of the tables: the application role may not change them."""

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.set_defaults(database="owner")

    def handle(self, *args: Any, **options: Any) -> str | None:
        return super().handle(*args, **options)
