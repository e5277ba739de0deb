"""What is told of greens: work, its history, readings, condition and notes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from uuid import UUID

from pydantic import Field, TypeAdapter

from courses.greens import models
from courses.greens.condition import CourseDay, coming_days, recovery_by_kind, speed_of, work_of
from courses.greens.models import WorkFields, WorkStatus
from courses.greens.services import WORK_FIELDS, fields_of
from courses.layout.models import Course
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.units import Unit
from golfstats.ground.answers import up_to
from golfstats.ground.faults import not_found
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import told_again
from golfstats.sentences import Sentence


@dataclass(frozen=True, kw_only=True)
class GreenWork(WorkFields):
    """Work on the greens, from its first to its last day."""

    id: UUID
    words: str
    disturbance_at_once: float
    """Of the surface, just after the work: 0 is undisturbed, 1 just cored."""
    usual_recovery_days: float
    uid: str
    """UID of the calendar event; stable over edits."""
    sequence: int
    """How often it was edited."""
    entered_by: str | None
    changed_at: dt.datetime


class Action(StrEnum):
    """What was done to green work."""

    CREATED = "created"
    """It was entered."""
    EDITED = "edited"
    """It was corrected."""
    DELETED = "deleted"
    """It was taken back."""


@dataclass(frozen=True)
class GreenWorkChange:
    """What was done to a piece of green work."""

    changed_at: dt.datetime
    changed_by: str | None
    action: Action
    """What was done."""
    before: WorkFields | None
    """As it was; null where it was new."""
    after: WorkFields | None
    """As it became; null where it was deleted."""


@dataclass(frozen=True)
class WorkType:
    """A kind of green work, with usual severity and recovery."""

    kind: str
    """Key by which work names it."""
    words: str
    description: str
    """What is done to the greens."""
    severity: float
    """Disturbance of the surface just after it, 0 to 1."""
    recovery_days: float
    """Days until greens have usually healed."""
    recovery_days_range: list[float]
    """Fewest and most days that are usual."""
    source: str
    """Where these are known from."""


@dataclass(frozen=True, kw_only=True)
class GreenReading:
    """Measurements of a green at one moment."""

    id: UUID
    hole: int | None
    """Number of the green; null is the practice green."""
    measured_at: dt.datetime
    roll_one_way_ft: list[float] = up_to(3)
    """Stimpmeter distances in feet."""
    roll_other_way_ft: list[float] = up_to(3)
    firmness_g: float | None
    moisture_pct: float | None
    mowing_height_mm: float | None
    bobble_score: int | None
    """Smoothness by eye, 1 (rough) to 5 (smooth)."""
    note: str
    """What whoever measured wrote beside it."""
    speed_ft: float | None
    """Stimpmeter feet; null where no balls were rolled."""
    doubtful: bool
    """Kept, but not computed with."""
    doubts: list[str] = up_to(2)
    entered_by: str | None


@dataclass(frozen=True)
class GreenState:
    """The surface of one green."""

    hole: int
    """Number of its hole."""
    disturbance: float
    """0 is undisturbed, 1 just cored."""
    temporary: bool
    """Whether a temporary green is in play."""


@dataclass(frozen=True)
class FeltWork:
    """Work from which the greens have not recovered."""

    id: UUID
    kind: str
    """Key of the kind of work."""
    words: str
    days_since: int
    """Days from its end to the day asked for; 0 while it lasts."""
    holes: list[int]
    """Numbers of the greens; empty is all."""
    status: WorkStatus
    """Tentative, confirmed or cancelled; only confirmed work counts."""


@dataclass(frozen=True)
class DayToCome:
    """What is expected of a course's greens on a day."""

    day: dt.date
    """By the calendar at the course."""
    disturbance: float
    """Mean of the greens: 0 is undisturbed, 1 just cored."""


class KnownFrom(StrEnum):
    """What recovery days rest on."""

    CLUB = "this club's putts"
    """What the club's own putts showed after such work."""
    USUAL = "usual"
    """The usual recovery of such work; the club's putts do not show another yet."""


@dataclass(frozen=True)
class RecoveryDays:
    """How long the greens take to recover from a kind of work."""

    kind: str
    """Key of the kind of work."""
    days: float
    """From its last day until the greens are back."""
    known_from: KnownFrom
    """Whether from the club's own putts or from what is usual."""


@dataclass(frozen=True, kw_only=True)
class CourseCondition:
    """Surface of a course's greens on a day and the days from then."""

    day: dt.date
    """By the calendar at the course."""
    disturbance: float
    """Mean of the greens: 0 is undisturbed, 1 just cored."""
    greens: list[GreenState] = up_to(18)
    """By number of the hole."""
    work: list[FeltWork] = up_to(10)
    """Only what is still felt."""
    coming: list[DayToCome] = up_to(30)
    """The days from then."""
    recovery_days: list[RecoveryDays] = up_to(10)
    """Of the kinds of work felt on these days."""


@dataclass(frozen=True)
class Estimate:
    """A number that a note rests on, with its 90% interval; null below its minimum sample."""

    value: float | None
    """Null with too few."""
    low: float | None
    """Lower end of the interval."""
    high: float | None
    """Upper end of the interval."""
    n: int
    """How many it rests on."""
    minimum_n: int
    """Fewer than so many are too few."""
    unit: Unit
    """What it is counted in."""


@dataclass(frozen=True)
class WorkThen:
    """Work that is felt on the note's day."""

    kind: str
    """Key of the kind of work."""
    days_before: int
    """Days from its end to the note's day; 0 while it lasts."""


@dataclass(frozen=True)
class CourseNoteFigures:
    """The numbers that a condition note of a course's day rests on."""

    disturbance: float
    """Mean of the greens: 0 is undisturbed, 1 just cored."""
    cost: Estimate
    """What the greens cost, in strokes a round."""
    chance_it_costs: float | None
    """Chance that such work costs strokes on this course at all; null where too little is known."""
    work: list[WorkThen]
    """The latest first."""


@dataclass(frozen=True)
class CourseNote:
    """The condition note of a course's day."""

    day: dt.date
    """The day that it is about."""
    text: str
    """What players are told."""
    figures: CourseNoteFigures | None
    """The numbers that the text rests on."""
    written_at: dt.datetime


FIGURES_OF_A_NOTE = TypeAdapter(CourseNoteFigures)


class ConditionQuery(Query):
    on: Day | None = Field(None, description="Today where it is left out.")


class HistoryQuery(Query):
    work_id: UUID


def green_work(_: Asker, rows: Sequence[models.GreenWork]) -> list[GreenWork]:
    """Of rows whose member who entered them was loaded with them."""
    return [
        GreenWork(
            **vars(fields_of(row)),
            id=row.id,
            words=work_types()[row.kind].words,
            disturbance_at_once=round(work_of(row).strength, 2),
            usual_recovery_days=work_types()[row.kind].recovery_days,
            uid=row.uid,
            sequence=row.sequence,
            entered_by=row.entered_by and row.entered_by.name,
            changed_at=row.changed_at,
        )
        for row in rows
    ]


def history(_: Asker, courses: Sequence[Course], query: HistoryQuery) -> list[list[GreenWorkChange]]:
    """What was done to a piece of green work, latest first; also after it was deleted. One query."""
    rows = models.GreenWorkChange.objects.filter(work_id=query.work_id).select_related("changed_by")
    changes = [
        GreenWorkChange(
            row.changed_at,
            row.changed_by and row.changed_by.name,
            Action(row.action),
            row.before and WORK_FIELDS.validate_python(row.before),
            row.after and WORK_FIELDS.validate_python(row.after),
        )
        for row in rows.order_by("-changed_at")
    ]
    if not changes:
        raise not_found(Sentence("No green work"))
    return [changes] * len(courses)


def kinds_of_work(_: Asker, __: Query) -> list[WorkType]:
    return list(known_kinds().values())


@cache
def known_kinds() -> dict[str, WorkType]:
    """Every kind of work by its key."""
    return {
        key: WorkType(
            one.kind,
            one.words,
            one.description,
            one.severity,
            one.recovery_days,
            list(one.recovery_days_range),
            one.source,
        )
        for key, one in work_types().items()
    }


def green_readings(_: Asker, rows: Sequence[models.GreenReading]) -> list[GreenReading]:
    """Of rows whose member who entered them was loaded with them."""
    return [_reading(row) for row in rows]


def _reading(row: models.GreenReading) -> GreenReading:
    speed = speed_of(row)
    return GreenReading(
        id=row.id,
        hole=row.hole,
        measured_at=row.measured_at,
        roll_one_way_ft=row.roll_one_way_ft,
        roll_other_way_ft=row.roll_other_way_ft,
        firmness_g=row.firmness_g,
        moisture_pct=row.moisture_pct,
        mowing_height_mm=row.mowing_height_mm,
        bobble_score=row.bobble_score,
        note=row.note,
        speed_ft=None if speed is None else round(speed.speed_ft, 2),
        doubtful=bool(speed and speed.doubtful),
        doubts=list(speed.doubts) if speed else [],
        entered_by=row.entered_by and row.entered_by.name,
    )


def conditions(asker: Asker, courses: Sequence[Course], query: ConditionQuery) -> list[CourseCondition]:
    """Two queries, whatever the number of courses."""
    own = recovery_by_kind()
    days = coming_days(courses, query.on or asker.today, recovery=own)
    return [_condition(of_course, own) for of_course in days]


def _condition(days: Sequence[CourseDay], own_recovery: dict[str, float]) -> CourseCondition:
    state = days[0]
    kinds = sorted({row.kind for day in days for row in day.felt})
    return CourseCondition(
        day=state.day,
        disturbance=round(state.mean, 3),
        greens=[
            GreenState(hole, round(value, 3), hole in state.temporary)
            for hole, value in state.by_green.items()
        ],
        work=[_felt(row, state.day) for row in state.felt],
        coming=[DayToCome(day.day, round(day.mean, 3)) for day in days],
        recovery_days=[_recovery(kind, own_recovery) for kind in kinds],
    )


def _felt(row: models.GreenWork, day: dt.date) -> FeltWork:
    days_since = max((day - row.ends_on).days, 0)
    words = work_types()[row.kind].words
    return FeltWork(row.id, row.kind, words, days_since, row.holes, WorkStatus(row.status))


def _recovery(kind: str, own: dict[str, float]) -> RecoveryDays:
    days = own.get(kind, work_types()[kind].recovery_days)
    return RecoveryDays(kind, round(days, 1), KnownFrom.CLUB if kind in own else KnownFrom.USUAL)


def course_notes(_: Asker, rows: Sequence[models.CourseNote]) -> list[CourseNote]:
    return [
        CourseNote(
            row.day,
            told_again(row.text, row.sentence),
            FIGURES_OF_A_NOTE.validate_python(row.figures) if row.figures else None,
            row.written_at,
        )
        for row in rows
    ]


def latest_note(asker: Asker, course: Course, day: dt.date) -> CourseNote | None:
    rows = list(models.CourseNote.objects.filter(course=course, day__lte=day).order_by("-day")[:1])
    return next(iter(course_notes(asker, rows)), None)


def words_for_kinds() -> list[str]:
    """The kinds of work that the service knows, as programs name them."""
    return list(work_types())
