"""The one clock of the service. Days of golf are days at the club."""

from __future__ import annotations

import datetime as dt
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from golfstats.ground.clubs.models import Club, FirstWeekday


@cache
def time_zones() -> tuple[str, ...]:
    """The names of the IANA time zone database that this machine has; to look takes a file of each."""
    return tuple(sorted(available_timezones()))


def now() -> dt.datetime:
    """This moment, in UTC."""
    return dt.datetime.now(dt.UTC)


def today_at(club: Club) -> dt.date:
    """The date at the club."""
    return now().astimezone(ZoneInfo(club.time_zone)).date()


def day_begins(club: Club, day: dt.date) -> dt.datetime:
    """The moment at which this day begins at the club."""
    return dt.datetime.combine(day, dt.time(), ZoneInfo(club.time_zone))


def week_began(club: Club, day: dt.date) -> dt.date:
    """The first day of the club's week in which this day lies."""
    begins = 6 if club.first_weekday == FirstWeekday.SUNDAY else 0  # as Python numbers weekdays
    return day - dt.timedelta(days=(day.weekday() - begins) % 7)
