"""A course's green work as a calendar that phones subscribe to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from icalendar import Calendar, Event

from courses.calendars.services import feed_of_secret
from courses.greens.models import GreenWork
from courses.layout.models import Course
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground.clock import now

GREENS_PROPERTY = "X-GREENS"
"""Our own property: numbers of the greens, where not all, with spaces between: parsers disagree about commas."""


PAST_DAYS = 400
"""A calendar shows the work of the last year and all that is planned."""


def calendar_behind(secret: str) -> bytes | None:
    """The calendar behind a secret address; nothing where none is, or no longer."""
    feed = feed_of_secret(secret)
    if feed is None:
        return None
    since = now().date() - timedelta(days=PAST_DAYS)
    works = GreenWork.objects.filter(course_id=feed.course_id, ends_on__gte=since)
    return write_calendar(feed.course, works.order_by("starts_on", "id"))


def write_calendar(course: Course, works: Iterable[GreenWork]) -> bytes:
    """The calendar as bytes; the same works always give the same bytes."""
    calendar = Calendar()
    calendar.add("PRODID", "-//golfstats//green work//EN")
    calendar.add("VERSION", "2.0")
    calendar.add("CALSCALE", "GREGORIAN")
    calendar.add("NAME", f"{course.name}: green work")
    calendar.add("X-WR-CALNAME", f"{course.name}: green work")
    calendar.add("REFRESH-INTERVAL", timedelta(hours=6), parameters={"VALUE": "DURATION"})
    for work in works:
        calendar.add_component(_event(course, work))
    return bytes(calendar.to_ical())


def _event(course: Course, work: GreenWork) -> Event:
    event = Event()
    event.add("UID", work.uid)
    # Without METHOD this is when the event was last revised (RFC 5545, 3.8.7.2); a clock would spoil the ETag.
    event.add("DTSTAMP", work.changed_at.replace(microsecond=0))
    event.add("LAST-MODIFIED", work.changed_at.replace(microsecond=0))
    event.add("CREATED", work.created_at.replace(microsecond=0))
    event.add("SEQUENCE", work.sequence)
    event.add("DTSTART", work.starts_on)
    event.add("DTEND", work.ends_on + timedelta(days=1))  # exclusive: the day after the last
    event.add("SUMMARY", summary(work))
    if work.note:
        event.add("DESCRIPTION", work.note)
    event.add("LOCATION", course.name)
    event.add("CATEGORIES", [work.kind])
    event.add("STATUS", work.status.upper())
    event.add("TRANSP", "TRANSPARENT")
    if work.holes:
        event.add(GREENS_PROPERTY, " ".join(map(str, work.holes)))
    return event


def summary(work: GreenWork) -> str:
    """Work in a line: "Solid tining, greens 3 and 7"."""
    words = work_types()[work.kind].words
    line = words[0].upper() + words[1:]
    if work.holes:
        line += f", green{'s' if len(work.holes) > 1 else ''} {_and(work.holes)}"
    return f"{line}, temporary greens in play" if work.temporary_greens else line


def _and(holes: list[int]) -> str:
    numbers = [str(hole) for hole in holes]
    return numbers[0] if len(numbers) == 1 else f"{', '.join(numbers[:-1])} and {numbers[-1]}"
