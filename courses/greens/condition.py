"""In what state the greens are: green work as :mod:`golfstats.calc.greens` wants it, surface and speed by day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import QuerySet

from courses.greens.models import GreenReading, GreenWork, RecoveryTime, WorkStatus
from courses.layout.models import Course
from golfstats.calc.greens import planner
from golfstats.calc.greens.effect.putts import LONGEST_HEALING
from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from golfstats.calc.greens.surface.stimpmeter import SpeedReading, read_speed
from golfstats.calc.greens.surface.work_types import coring_area_percent, coring_severity, work_types
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement

TINED = frozenset({"coring_small", "coring_medium", "coring_large"})
"""Kinds whose severity follows from the tines, where these were noted. A season or a second pass says more."""
LOOK_BACK_DAYS = 300
"""Longer ago than this no work is felt: three times the slowest default recovery."""


@dataclass(frozen=True)
class CourseDay:
    """Surface of a course's greens on one day."""

    day: date
    by_green: dict[int, float]
    """Surface disturbance 0 … 1 by number of the green."""
    felt: Sequence[GreenWork]
    """Work still felt that day, latest first."""
    temporary: frozenset[int]
    """Greens replaced by temporary ones."""

    @property
    def mean(self) -> float:
        return float(np.mean(list(self.by_green.values())))


def work_of(row: GreenWork) -> Work:
    """A row of green work as the calculation's value; staff's severity first, then the tines', then the kind's."""
    return Work(
        kind=row.kind,
        start=row.starts_on.toordinal(),
        end=row.ends_on.toordinal(),
        holes=frozenset(row.holes) or None,
        severity=_severity(row),
    )


def confirmed_work(
    courses: Iterable[UUID] | None = None, first: date | None = None, last: date | None = None
) -> dict[UUID, list[GreenWork]]:
    """Confirmed work of each course, oldest first; between two days what may be felt then. One query."""
    works: dict[UUID, list[GreenWork]] = {}
    for row in _confirmed(courses, first, last):
        works.setdefault(row.course_id, []).append(row)
    return works


def _confirmed(courses: Iterable[UUID] | None, first: date | None, last: date | None) -> Iterable[GreenWork]:
    since = date.min if first is None else first - timedelta(days=LOOK_BACK_DAYS)
    until = date.max if last is None else last
    if courses is None:
        return _confirmed_between(since, until)
    of_courses: list[GreenWork] = OF_COURSES.rows(keys=list(courses), since=since, until=until)
    return of_courses


def _confirmed_between(since: date, until: date) -> QuerySet[GreenWork]:
    between = GreenWork.objects.filter(ends_on__gte=since, starts_on__lte=until)
    return between.filter(status=WorkStatus.CONFIRMED).order_by("starts_on", "id")


ANY_SINCE, ANY_UNTIL = date(1, 1, 1), date(1, 1, 2)
OF_COURSES = KeptStatement(
    lambda: _confirmed_between(ANY_SINCE, ANY_UNTIL).filter(course_id__any_of=ANY_KEYS),
    GreenWork,
    since=ANY_SINCE,
    until=ANY_UNTIL,
)
RECOVERY = KeptStatement(lambda: RecoveryTime.objects.values_list("kind", "days"))


def temporary_greens_on(rows: Iterable[GreenWork], day: date, greens: Iterable[int]) -> frozenset[int]:
    """Which of the greens were replaced by temporary ones that day."""
    of_the_day = [row for row in rows if row.temporary_greens and row.starts_on <= day <= row.ends_on]
    return frozenset(green for green in greens for row in of_the_day if not row.holes or green in row.holes)


def recovery_by_kind() -> dict[str, float]:
    """Recovery days by kind where the club's putts have shown them."""
    return dict(RECOVERY.found())


def condition_on(course: Course, day: date) -> CourseDay:
    """The surface of each green on a day. Two queries."""
    return coming_days([course], day, days=1)[0][0]


def coming_days(
    courses: Sequence[Course],
    first: date,
    days: int = planner.DAYS_AHEAD,
    recovery: dict[str, float] | None = None,
) -> list[list[CourseDay]]:
    """Of each course the surface of its greens on a day and those that follow.

    Planned work counts if it is not cancelled. Two queries, whatever the number of courses; one where the
    recovery days are given (:func:`recovery_by_kind`).
    """
    rows: dict[UUID, list[GreenWork]] = {course.id: [] for course in courses}
    for row in (
        GreenWork.objects.filter(
            course_id__in=list(rows),
            starts_on__lte=first + timedelta(days=days),
            ends_on__gte=first - timedelta(days=LOOK_BACK_DAYS),
        )
        .exclude(status=WorkStatus.CANCELLED)
        .order_by("-starts_on", "-id")
    ):
        rows[row.course_id].append(row)
    known = recovery_by_kind() if recovery is None else recovery
    ahead = [first + timedelta(days=number) for number in range(days)]
    return [_course_days(course, rows[course.id], ahead, known) for course in courses]


def _course_days(
    course: Course, rows: Sequence[GreenWork], days: Sequence[date], recovery: dict[str, float]
) -> list[CourseDay]:
    """The disturbance of all days is worked out at once: day by day it takes ten times as long."""
    greens = list(range(1, course.hole_count + 1))
    numbers = np.array([day.toordinal() for day in days], dtype=np.int64)
    disturbance = surface_disturbance(
        [work_of(row) for row in rows], np.repeat(numbers, len(greens)), np.tile(greens, len(days)), recovery
    ).reshape(len(days), len(greens))
    return [
        CourseDay(
            day,
            dict(zip(greens, of_greens, strict=True)),
            still_felt(rows, day, recovery),
            temporary_greens_on(rows, day, greens),
        )
        for day, of_greens in zip(days, disturbance.tolist(), strict=True)
    ]


def still_felt(rows: Iterable[GreenWork], day: date, recovery: Mapping[str, float]) -> list[GreenWork]:
    """Work begun by that day from which the greens have not recovered yet."""
    return [
        row
        for row in rows
        if row.starts_on <= day
        and (day - row.ends_on).days < recovery.get(row.kind, work_types()[row.kind].recovery_days)
    ]


def possibly_felt(rows: Iterable[GreenWork], day: date) -> list[GreenWork]:
    """Work begun by that day from which the greens may not have recovered, however slow they are."""
    return [
        row for row in rows if row.starts_on <= day and (day - row.ends_on).days <= longest_healing(row.kind)
    ]


def days_felt(row: GreenWork) -> tuple[date, date]:
    """First and last day on which the work may be felt, however slowly the greens recover."""
    return row.starts_on, row.ends_on + timedelta(days=longest_healing(row.kind))


def longest_healing(kind: str) -> int:
    """Days after which work of a kind is healed for certain."""
    return int(LONGEST_HEALING * work_types()[kind].recovery_days) + 1


def _severity(row: GreenWork) -> float | None:
    if row.severity is not None:
        return row.severity
    if row.kind not in TINED or row.tine_diameter_mm is None or row.spacing_along_mm is None:
        return None
    area = coring_area_percent(row.tine_diameter_mm, row.spacing_along_mm, row.spacing_across_mm)
    return coring_severity(area)


def speed_of(reading: GreenReading) -> SpeedReading | None:
    """Speed from the balls rolled both ways; ``None`` where none were rolled."""
    if not reading.roll_one_way_ft:
        return None
    return read_speed(np.array(reading.roll_one_way_ft), np.array(reading.roll_other_way_ft))


def mean_speeds(time_zone: str, courses: Iterable[UUID] | None = None) -> dict[tuple[UUID, date], float]:
    """Mean measured speed of each course-day in feet; doubtful readings stay out."""
    readings = GreenReading.objects.filter(roll_one_way_ft__len__gt=0)
    if courses is not None:
        readings = readings.filter(course_id__in=list(courses))
    zone = ZoneInfo(time_zone)
    speeds: dict[tuple[UUID, date], list[float]] = {}
    for reading in readings:
        speed = speed_of(reading)
        if speed is not None and not speed.doubtful:
            day = reading.measured_at.astimezone(zone).date()
            speeds.setdefault((reading.course_id, day), []).append(speed.speed_ft)
    return {key: float(np.mean(values)) for key, values in speeds.items()}
