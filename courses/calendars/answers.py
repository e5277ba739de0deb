"""What is told of events, calendar addresses and of taking over planned work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from courses.calendars import models
from courses.calendars.importing import ImportPlan
from courses.calendars.reading import PlannedWork
from courses.greens.models import GreenWork, WorkFields, WorkStatus
from courses.greens.services import GreenWorkBody, fields_asked, fields_of
from courses.layout.models import Course
from golfstats.ground.operations import Asker, Query


@dataclass(frozen=True)
class Event:
    """A competition or other date on which the greens matter."""

    id: UUID
    name: str
    """What the event is called."""
    starts_on: dt.date
    ends_on: dt.date
    competition: bool


@dataclass(frozen=True)
class CalendarFeed:
    """A calendar address that was handed out."""

    id: UUID
    created_by: str | None
    created_at: dt.datetime
    revoked_at: dt.datetime | None


@dataclass(frozen=True)
class OpenedFeed(CalendarFeed):
    """A new calendar address."""

    address: str
    """Secret, and told this once."""


@dataclass(frozen=True)
class NewWork:
    """Work of a calendar that is not known here yet."""

    uid: str
    """The event's UID in the calendar (RFC 5545)."""
    summary: str
    """The event's title."""
    kind: str
    """Key of the kind of work."""
    starts_on: dt.date
    ends_on: dt.date
    holes: list[int]
    """Numbers of the greens; empty is all."""
    status: WorkStatus
    """Tentative, confirmed or cancelled; only confirmed work counts."""


@dataclass(frozen=True)
class MovedWork:
    """Work that is known here and that the calendar tells otherwise."""

    uid: str
    """The event's UID in the calendar (RFC 5545)."""
    id: UUID
    changed: list[str]
    """Names of the fields that differ."""
    before: WorkFields
    """As it is kept here."""
    after: WorkFields
    """As the calendar has it."""


@dataclass(frozen=True)
class UnknownWork:
    """An event whose words fit no kind of work."""

    uid: str
    """The event's UID in the calendar (RFC 5545)."""
    summary: str
    """The event's title."""
    categories: list[str]
    """The event's categories, as the calendar has them."""


@dataclass(frozen=True)
class CalendarImport:
    """What a calendar file does, or would do, event by event."""

    saved: bool
    """False for a preview."""
    new: list[NewWork]
    """Work that would be, or was, added."""
    changed: list[MovedWork]
    """Work that would be, or was, changed."""
    unchanged: int
    """Events that are here already, just so."""
    unknown: list[UnknownWork]
    """A word of each has to be mapped to a kind before anything is saved."""


def events(_: Asker, rows: Sequence[models.Event]) -> list[Event]:
    return [Event(row.id, row.name, row.starts_on, row.ends_on, row.competition) for row in rows]


def feeds(_: Asker, courses: Sequence[Course], __: Query) -> list[list[CalendarFeed]]:
    """Of each course the addresses handed out, latest first. One query."""
    rows = models.CalendarFeed.objects.filter(course__in=courses).select_related("created_by")
    every_feed = list(rows.order_by("-id"))
    return [[feed(row) for row in every_feed if row.course_id == course.id] for course in courses]


def feed(row: models.CalendarFeed) -> CalendarFeed:
    return CalendarFeed(row.id, row.created_by and row.created_by.name, row.created_at, row.revoked_at)


def calendar_import(plan: ImportPlan, *, saved: bool) -> CalendarImport:
    """To be told before the plan is carried out, which changes the rows in it."""
    return CalendarImport(
        saved,
        [_new(one, wanted) for one, wanted in plan.new],
        [_moved(row, wanted) for row, wanted in plan.changed],
        len(plan.unchanged),
        [UnknownWork(one.uid, one.summary, list(one.categories)) for one in plan.unknown],
    )


def _new(one: PlannedWork, wanted: GreenWorkBody) -> NewWork:
    return NewWork(
        one.uid,
        one.summary,
        wanted.kind,
        wanted.starts_on,
        wanted.last_day,
        wanted.holes,
        wanted.status,
    )


def _moved(row: GreenWork, wanted: GreenWorkBody) -> MovedWork:
    before, after = fields_of(row), fields_asked(wanted)
    changed = [name for name, value in vars(after).items() if getattr(before, name) != value]
    return MovedWork(row.uid, row.id, changed, before, after)
