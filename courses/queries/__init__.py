"""The only code that reads more than one row of courses. REST, GraphQL and pages all ask here."""

from courses.queries.condition import (
    CourseDay,
    coming_days,
    condition_on,
    recovery_by_kind,
    temporary_greens,
    work_of,
    works_by_course,
)
from courses.queries.greens import (
    events,
    green_readings,
    green_work,
    history,
    mean_speeds,
    playing_conditions,
)
from courses.queries.layout import course_with_tees, courses, tee_set

__all__ = [
    "CourseDay",
    "coming_days",
    "condition_on",
    "course_with_tees",
    "courses",
    "events",
    "green_readings",
    "green_work",
    "history",
    "mean_speeds",
    "playing_conditions",
    "recovery_by_kind",
    "tee_set",
    "temporary_greens",
    "work_of",
    "works_by_course",
]
