from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import IntegrityError, transaction

from golfstats.ground.clubs import services
from golfstats.ground.clubs.models import User


class Command(BaseCommand):
    help = "Make a club with its first manager. The manager's user is made if there is none of that name."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("slug", help="the club's name in addresses, such as larkmoor")
        parser.add_argument("name")
        parser.add_argument("manager", help="username of the first manager")
        parser.add_argument("--time-zone", default="UTC", help="a name of the IANA time zone database")
        parser.add_argument("--password", help="for a manager who has no sign-in yet")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["time_zone"] not in available_timezones():
            raise CommandError(f"no time zone {options['time_zone']!r}")
        try:
            with transaction.atomic():
                manager, new = User.objects.get_or_create(username=options["manager"])
                if new:
                    manager.set_password(options["password"])
                    manager.save()
                club = services.found_club(options["slug"], options["name"], options["time_zone"], manager)
        except IntegrityError:
            raise CommandError(f"there is a club {options['slug']!r} already") from None
        self.stdout.write(f"{club.name} ({club.slug}), managed by {manager.username}")
