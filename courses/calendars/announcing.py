"""What programs are told of competitions and other dates. Every member may read them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from courses.calendars.models import Event as Date
from courses.layout.announcing import NamedCourse, course_in_message, hearers_on_a_course
from golfstats.ground.events import Event, Happening, Hearers


@dataclass(frozen=True)
class CalendarEventMessage:
    """A date of a course."""

    event: UUID
    """Id of the date."""
    name: str
    """Of the date."""
    course: NamedCourse
    """Where."""
    starts_on: dt.date
    """First day."""
    ends_on: dt.date
    """Last day."""
    competition: bool
    """It is one."""


def _date(row: Date) -> CalendarEventMessage:
    return CalendarEventMessage(
        row.id, row.name, course_in_message(row.course), row.starts_on, row.ends_on, row.competition
    )


def _members_too(row: Date) -> Hearers:
    return hearers_on_a_course(row.course, members=True)


CALENDAR_EVENT_CHANGED = Event(
    Happening.CALENDAR_EVENT_CHANGED,
    of=Date,
    message=CalendarEventMessage,
    says=_date,
    hearers=_members_too,
    own=True,
)
CALENDAR_EVENT_DELETED = Event(
    Happening.CALENDAR_EVENT_DELETED,
    of=Date,
    message=CalendarEventMessage,
    says=_date,
    hearers=_members_too,
    own=True,
    gone=True,
)
