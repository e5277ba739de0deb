"""The only code that reads more than one row of courses. REST, GraphQL and pages all ask here."""

from courses.queries.condition import (
    CourseDay,
    coming_days,
    condition_on,
    confirmed_work,
    days_felt,
    longest_healing,
    possibly_felt,
    recovery_by_kind,
    still_felt,
    temporary_greens_on,
    work_of,
)
from courses.queries.greens import (
    course_notes,
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
    "confirmed_work",
    "course_notes",
    "course_with_tees",
    "courses",
    "days_felt",
    "events",
    "green_readings",
    "green_work",
    "history",
    "longest_healing",
    "mean_speeds",
    "playing_conditions",
    "possibly_felt",
    "recovery_by_kind",
    "still_felt",
    "tee_set",
    "temporary_greens_on",
    "work_of",
]
