"""What belongs to courses, for whoever reads it of several courses at once."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Prefetch, QuerySet, prefetch_related_objects

from courses.models import Course, CourseNote, Event, GreenReading, GreenWork, PlayingConditions, TeeSet
from courses.queries.layout import with_parts


def load_tees(courses: Iterable[Course]) -> None:
    """Give each course its tees with holes and ratings: three queries for all of them."""
    tees = with_parts(TeeSet.objects.order_by("name", "id"))
    prefetch_related_objects(list(courses), Prefetch("tee_sets", queryset=tees))


def all_green_work() -> QuerySet[GreenWork]:
    return GreenWork.objects.select_related("entered_by", "course")


def all_green_readings() -> QuerySet[GreenReading]:
    return GreenReading.objects.select_related("entered_by", "course")


def all_events() -> QuerySet[Event]:
    return Event.objects.all()


def all_playing_conditions() -> QuerySet[PlayingConditions]:
    return PlayingConditions.objects.select_related("entered_by")


def all_course_notes() -> QuerySet[CourseNote]:
    return CourseNote.objects.all()
