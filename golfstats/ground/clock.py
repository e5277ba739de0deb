"""The one clock of the service. Days of golf are days at the club."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from golfstats.ground.clubs.models import Club


def now() -> dt.datetime:
    """This moment, in UTC."""
    return dt.datetime.now(dt.UTC)


def today_at(club: Club) -> dt.date:
    """The date at the club."""
    return now().astimezone(ZoneInfo(club.time_zone)).date()
