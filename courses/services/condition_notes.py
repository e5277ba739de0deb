"""Notes of course-days, which whoever knows the club's putts has written."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db import transaction

from courses.models import Course, CourseNote


@transaction.atomic
def replace_course_notes(course: Course, first: date, last: date, notes: Iterable[CourseNote]) -> None:
    """Put these in the place of the course's notes between two days, both included."""
    CourseNote.objects.filter(course=course, day__range=(first, last)).delete()
    CourseNote.objects.bulk_create(notes)
