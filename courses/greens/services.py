"""Green work with its history, readings, notes and recovery times: what may be entered, and saving it.

Whoever computes from green work is told which days of which course it touches.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Annotated, Any, Self
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from pydantic import AfterValidator, AwareDatetime, BeforeValidator, Field, TypeAdapter, model_validator

from courses.greens.announcing import GREEN_READING_DELETED, GREENS_MEASURED, OF_ACTION, ChangeOfWork
from courses.greens.condition import days_felt
from courses.greens.models import (
    CourseNote,
    GreenReading,
    GreenWork,
    GreenWorkChange,
    RecoveryTime,
    WorkFields,
    WorkStatus,
)
from courses.layout.bodies import HoleNumber
from courses.layout.models import Course
from golfstats.calc.greens.surface.work_types import coring_area_percent, work_types
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.ids import new_id
from golfstats.ground.input_words import input_fault
from golfstats.ground.inputs import FIRST_DAY, Body, Day, not_in_seconds
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence

GREENS_CHANGED = "greens_changed"
"""Key: ``<course>:<first day>:<last day>``, the days whose surface may be other than it was thought to be."""


def _known_kind(kind: str) -> str:
    if kind not in work_types():
        raise input_fault("unknown_kind", Sentence("known kinds are: {kinds}", kinds=", ".join(work_types())))
    return kind


def _distinct_greens(holes: list[int]) -> list[int]:
    return sorted(set(holes))


Note = Annotated[str, Field(max_length=2000)]
Kind = Annotated[str, AfterValidator(_known_kind)]
Greens = Annotated[list[HoleNumber], Field(max_length=18), AfterValidator(_distinct_greens)]
Millimetres = Annotated[float, Field(gt=0, le=500)]


class Days(Body):
    """From a first to a last day, both included; the last day alone may be left out."""

    starts_on: Day
    """First day."""
    ends_on: Day | None = None
    """Last day; the first if left out."""

    @property
    def last_day(self) -> dt.date:
        return self.ends_on or self.starts_on

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last_day < self.starts_on:
            raise input_fault("ends_before_start", Sentence("the last day is before the first"))
        if (self.last_day - self.starts_on).days > 366:
            raise input_fault("too_long", Sentence("no more than a year from the first day to the last"))
        return self


class GreenWorkBody(Days):
    kind: Kind
    """One of the types of green work."""
    holes: Greens = []
    """Numbers of the greens; empty = all."""
    tine_diameter_mm: Millimetres | None = None
    """Outer diameter of the tines in millimetres."""
    spacing_along_mm: Millimetres | None = None
    """From hole to hole along the machine's way, in millimetres."""
    spacing_across_mm: Millimetres | None = None
    """From hole to hole across it, in millimetres; as along if left out."""
    severity: Annotated[float, Field(ge=0, le=1)] | None = None
    """Surface disturbance just after the work, 0 to 1, where you know better than the usual."""
    temporary_greens: bool = False
    """Temporary greens are in play during the work."""
    status: WorkStatus = WorkStatus.CONFIRMED
    """Tentative work is shown and not counted."""
    note: Note = ""
    """In your own words."""

    @model_validator(mode="after")
    def _tines_fit(self) -> Self:
        if self.tine_diameter_mm is None or self.spacing_along_mm is None:
            return self
        try:
            coring_area_percent(self.tine_diameter_mm, self.spacing_along_mm, self.spacing_across_mm)
        except ValueError:
            overlap = Sentence("tines this wide would overlap at this spacing")
            raise input_fault("tines_overlap", overlap) from None
        return self


WORK_FIELDS = TypeAdapter(WorkFields)
FIELD_NAMES = tuple(WorkFields.__dataclass_fields__)


Roll = Annotated[float, Field(ge=1, le=30)]


def _as_list(value: Any) -> object:
    return value if isinstance(value, list) else [value]


Rolls = Annotated[
    list[Roll], Field(max_length=6), BeforeValidator(_as_list, json_schema_input_type=list[Roll] | Roll)
]
"""One number is the balls' mean."""


_EARLIEST = dt.datetime.combine(FIRST_DAY, dt.time(), dt.UTC)


class GreenReadingBody(Body):
    measured_at: Annotated[AwareDatetime, BeforeValidator(not_in_seconds), Field(ge=_EARLIEST)]
    """When, with its time zone."""
    hole: HoleNumber | None = None
    """Number of the green; none = the practice green."""
    roll_one_way_ft: Rolls = []
    """Stimpmeter distances in feet: one a ball, or their mean."""
    roll_other_way_ft: Rolls = []
    """The same the other way; the speed is made of both."""
    firmness_g: Annotated[float, Field(gt=0, le=500)] | None = None
    """Deceleration of a firmness meter, in units of gravity."""
    moisture_pct: Annotated[float, Field(ge=0, le=100)] | None = None
    """Water by volume, in percent."""
    mowing_height_mm: Annotated[float, Field(gt=0, le=30)] | None = None
    """In millimetres."""
    bobble_score: Annotated[int, Field(ge=1, le=5)] | None = None
    """Smoothness by eye, 1 (rough) to 5 (smooth)."""
    note: Note = ""
    """In your own words."""

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if bool(self.roll_one_way_ft) != bool(self.roll_other_way_ft):
            raise input_fault("rolled_one_way_only", Sentence("roll the balls both ways"))
        measures = (self.firmness_g, self.moisture_pct, self.mowing_height_mm, self.bobble_score)
        if not self.roll_one_way_ft and all(measure is None for measure in measures):
            raise input_fault("nothing_measured", Sentence("give at least one measurement"))
        return self


@transaction.atomic
def add_work(member: Member, course: Course, given: GreenWorkBody, uid: str = "") -> GreenWork:
    """Enter green work. ``uid`` is the calendar event that it came from, if any."""
    refuse_unknown_greens(course, given.holes, "/holes")
    identity = new_id()
    row = GreenWork(id=identity, course=course, uid=uid or f"{identity}@golfstats", entered_by=member)
    _fill(row, given)
    row.save()
    _write_history(member, row, "created", None, as_fields(row))
    _tell([days_felt(row)], course.id)
    return row


@transaction.atomic
def change_work(member: Member, row: GreenWork, given: GreenWorkBody) -> GreenWork:
    """Put corrected work in its place. Nothing happens where nothing is different."""
    refuse_unknown_greens(row.course, given.holes, "/holes")
    before, days_before = as_fields(row), days_felt(row)
    _fill(row, given)
    if as_fields(row) == before:
        return row
    row.sequence += 1
    row.save()
    _write_history(member, row, "edited", before, as_fields(row))
    _tell([days_before, days_felt(row)], row.course_id)
    return row


@transaction.atomic
def delete_work(member: Member, row: GreenWork) -> None:
    """Take back work that was entered by mistake; its history stays."""
    _write_history(member, row, "deleted", as_fields(row), None)
    _tell([days_felt(row)], row.course_id)
    row.delete()


@tells(GREENS_MEASURED)
def save_reading(
    member: Member, course: Course, reading: GreenReading, given: GreenReadingBody
) -> GreenReading:
    """Enter or correct a reading; raises a 422 problem for one from the future or an unknown green."""
    if given.measured_at > timezone.now() + dt.timedelta(minutes=5):
        raise invalid([Fault("/measured_at", "in_the_future", Sentence("a reading has been taken"))])
    refuse_unknown_greens(course, [given.hole] if given.hole else [], "/hole")
    for name, value in given.model_dump().items():
        setattr(reading, name, value)
    reading.course, reading.entered_by = course, member
    reading.save()
    return reading


@tells(GREEN_READING_DELETED)
def delete_reading(reading: GreenReading) -> None:
    reading.delete()


@transaction.atomic
def replace_course_notes(course: Course, first: dt.date, last: dt.date, notes: Iterable[CourseNote]) -> None:
    """Put these in the place of the course's notes between two days, both included."""
    CourseNote.objects.filter(course=course, day__range=(first, last)).delete()
    CourseNote.objects.bulk_create(notes)


@transaction.atomic
def store_recovery_times(times: Iterable[RecoveryTime]) -> None:
    """Put these in the place of all recovery times that the club's putts had shown before."""
    RecoveryTime.objects.all().delete()
    RecoveryTime.objects.bulk_create(times)


def fields_of(row: GreenWork) -> WorkFields:
    """What a person can enter of green work, for comparing and for telling."""
    return WORK_FIELDS.validate_python({name: getattr(row, name) for name in FIELD_NAMES})


def as_fields(row: GreenWork) -> dict[str, object]:
    """The same as it is kept in the history and filled into a form."""
    return stored(fields_of(row))


def stored(fields: WorkFields) -> dict[str, object]:
    document: dict[str, object] = WORK_FIELDS.dump_python(fields, mode="json")
    return document


def fields_asked(given: GreenWorkBody) -> WorkFields:
    return WORK_FIELDS.validate_python(given.model_dump() | {"ends_on": given.last_day})


def refuse_unknown_greens(course: Course, holes: Sequence[int], pointer: str) -> None:
    unknown = [hole for hole in holes if hole > course.hole_count]
    if unknown:
        detail = Sentence("{name} has {hole_count} holes", name=course.name, hole_count=course.hole_count)
        raise invalid([Fault(pointer, "no_such_green", detail)])


def _fill(row: GreenWork, given: GreenWorkBody) -> None:
    for name, value in vars(fields_asked(given)).items():
        setattr(row, name, value)


def _write_history(
    member: Member,
    row: GreenWork,
    action: str,
    before: dict[str, object] | None,
    after: dict[str, object] | None,
) -> None:
    change = GreenWorkChange.objects.create(
        work_id=row.id, changed_by=member, action=action, before=before, after=after
    )
    OF_ACTION[action].send([ChangeOfWork(change, row.course)])


def _tell(spans: Iterable[tuple[dt.date, dt.date]], course_id: UUID) -> None:
    for first, last in set(spans):
        work.ask(GREENS_CHANGED, f"{course_id}:{first.isoformat()}:{last.isoformat()}")
