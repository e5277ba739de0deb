"""What programs are told of courses, tees and playing conditions."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from courses.layout.models import Course, PartOfDay, PlayingConditions, TeeSet
from golfstats.ground.events import Event, Happening, Hearers


@dataclass(frozen=True)
class NamedCourse:
    """A course as messages name it."""

    id: UUID
    name: str
    """Of the course."""


@dataclass(frozen=True)
class CourseMessage:
    """A course that was entered, changed or removed."""

    course: NamedCourse
    """Where."""
    provisional: bool
    """Entered from a scorecard, and not yet taken into the club's courses."""


@dataclass(frozen=True)
class TeeMessage:
    """A tee set of a course."""

    tee: UUID
    """Id of the tee set."""
    name: str
    """Of the tee set."""
    course: NamedCourse
    """Where."""


@dataclass(frozen=True)
class PlayingConditionsMessage:
    """A day's playing conditions calculation."""

    day: UUID
    """Id of the calculation."""
    played_on: dt.date
    part_of_day: PartOfDay
    """The whole day, or which half of it."""
    course: NamedCourse
    """Where."""


def course_in_message(course: Course) -> NamedCourse:
    """The same in all of them."""
    return NamedCourse(course.id, course.name)


def hearers_on_a_course(course: Course, *, members: bool) -> Hearers:
    """A provisional course is nobody's but its maker's, their coaches' and the managers'."""
    return Hearers(every_member=members and not course.provisional)


def _course(row: Course) -> CourseMessage:
    return CourseMessage(course_in_message(row), row.provisional)


def _tee(row: TeeSet) -> TeeMessage:
    return TeeMessage(row.id, row.name, course_in_message(row.course))


def _day(row: PlayingConditions) -> PlayingConditionsMessage:
    return PlayingConditionsMessage(
        row.id, row.played_on, PartOfDay(row.part_of_day), course_in_message(row.course)
    )


def _club_alone(_: Any) -> Hearers:
    return Hearers()


COURSE_CHANGED = Event(
    Happening.COURSE_CHANGED,
    of=Course,
    message=CourseMessage,
    says=_course,
    hearers=_club_alone,
)
COURSE_DELETED = Event(
    Happening.COURSE_DELETED,
    of=Course,
    message=CourseMessage,
    says=_course,
    hearers=_club_alone,
    gone=True,
)
TEE_CHANGED = Event(
    Happening.TEE_CHANGED,
    of=TeeSet,
    message=TeeMessage,
    says=_tee,
    hearers=_club_alone,
)
TEE_DELETED = Event(
    Happening.TEE_DELETED,
    of=TeeSet,
    message=TeeMessage,
    says=_tee,
    hearers=_club_alone,
    gone=True,
)
PLAYING_CONDITIONS_CHANGED = Event(
    Happening.PLAYING_CONDITIONS_CHANGED,
    of=PlayingConditions,
    message=PlayingConditionsMessage,
    says=_day,
    hearers=_club_alone,
)
PLAYING_CONDITIONS_DELETED = Event(
    Happening.PLAYING_CONDITIONS_DELETED,
    of=PlayingConditions,
    message=PlayingConditionsMessage,
    says=_day,
    hearers=_club_alone,
    gone=True,
)
