from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import QuerySet

from courses.models import CourseNote, Event, GreenReading, GreenWork, GreenWorkChange, PlayingConditions
from golfstats.calc.greens.stimpmeter import SpeedReading, read_speed


def green_work(course_id: UUID) -> QuerySet[GreenWork]:
    return GreenWork.objects.filter(course_id=course_id).select_related("entered_by", "course")


def history(work_id: UUID) -> QuerySet[GreenWorkChange]:
    """What was done to a piece of green work, latest first."""
    return (
        GreenWorkChange.objects.filter(work_id=work_id).select_related("changed_by").order_by("-changed_at")
    )


def green_readings(course_id: UUID) -> QuerySet[GreenReading]:
    return GreenReading.objects.filter(course_id=course_id).select_related("entered_by", "course")


def course_notes(course_id: UUID) -> QuerySet[CourseNote]:
    """Condition notes of a course's days, as the worker has written them."""
    return CourseNote.objects.filter(course_id=course_id)


def events(course_id: UUID) -> QuerySet[Event]:
    return Event.objects.filter(course_id=course_id)


def playing_conditions(course_id: UUID) -> QuerySet[PlayingConditions]:
    return PlayingConditions.objects.filter(course_id=course_id).select_related("entered_by")


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
