"""What programs are told of the greens. Every member may read it, so their own programs may hear it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from pydantic import TypeAdapter

from courses.greens.models import GreenReading, GreenWorkChange, WorkFields
from courses.layout.announcing import NamedCourse, course_in_message, hearers_on_a_course
from courses.layout.models import Course
from golfstats.ground.events import Event, Happening, Hearers

FIELDS = TypeAdapter(WorkFields | None)
"""As the history keeps them."""


@dataclass(frozen=True)
class ChangeOfWork:
    """A line of the history of a piece of work, and where it is done."""

    change: GreenWorkChange
    course: Course


@dataclass(frozen=True)
class GreenWorkMessage:
    """What was done to the entry of a piece of green work."""

    action: str
    """`created`, `edited` or `deleted`."""
    id: UUID
    """Of the green work."""
    course: NamedCourse
    """Where."""
    before: WorkFields | None
    """What it said; null where it was created."""
    after: WorkFields | None
    """What it says now; null where it was deleted."""


@dataclass(frozen=True)
class GreenReadingMessage:
    """A measurement of the greens."""

    reading: UUID
    """Id of the reading."""
    course: NamedCourse
    """Where."""
    measured_at: dt.datetime
    hole: int | None
    """Null for the practice green."""


def _work(row: ChangeOfWork) -> GreenWorkMessage:
    change = row.change
    before, after = (FIELDS.validate_python(one) for one in (change.before, change.after))
    return GreenWorkMessage(change.action, change.work_id, course_in_message(row.course), before, after)


def _reading(row: GreenReading) -> GreenReadingMessage:
    return GreenReadingMessage(row.id, course_in_message(row.course), row.measured_at, row.hole)


def _of_work(row: ChangeOfWork) -> Hearers:
    return hearers_on_a_course(row.course, members=True)


def _of_reading(row: GreenReading) -> Hearers:
    return hearers_on_a_course(row.course, members=True)


GREEN_WORK_ANNOUNCED = Event(
    Happening.GREEN_WORK_ANNOUNCED,
    of=ChangeOfWork,
    message=GreenWorkMessage,
    says=_work,
    hearers=_of_work,
    own=True,
)
GREEN_WORK_CHANGED = Event(
    Happening.GREEN_WORK_CHANGED,
    of=ChangeOfWork,
    message=GreenWorkMessage,
    says=_work,
    hearers=_of_work,
    own=True,
)
GREEN_WORK_REMOVED = Event(
    Happening.GREEN_WORK_REMOVED,
    of=ChangeOfWork,
    message=GreenWorkMessage,
    says=_work,
    hearers=_of_work,
    own=True,
)
OF_ACTION = {
    "created": GREEN_WORK_ANNOUNCED,
    "edited": GREEN_WORK_CHANGED,
    "deleted": GREEN_WORK_REMOVED,
}
GREENS_MEASURED = Event(
    Happening.GREENS_MEASURED,
    of=GreenReading,
    message=GreenReadingMessage,
    says=_reading,
    hearers=_of_reading,
    own=True,
)
GREEN_READING_DELETED = Event(
    Happening.GREEN_READING_DELETED,
    of=GreenReading,
    message=GreenReadingMessage,
    says=_reading,
    hearers=_of_reading,
    own=True,
    gone=True,
)
