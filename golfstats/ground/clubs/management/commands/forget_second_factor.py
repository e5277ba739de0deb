from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from golfstats.ground.clubs import second_factor
from golfstats.ground.clubs.models import User


class Command(BaseCommand):
    """``forget_second_factor ines.0815``: for somebody without authenticator and recovery codes."""

    help = "Let a person sign in by their password alone again. Know who asks before you do this."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")

    def handle(self, *args: Any, **options: Any) -> None:
        user = User.objects.filter(username=options["username"]).first()
        if user is None:
            raise CommandError("nobody signs in by this name")
        second_factor.forget(user)
