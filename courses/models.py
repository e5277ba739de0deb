"""Every table of courses: Django finds them here."""

from courses.calendars.models import CalendarFeed, Event
from courses.greens.models import (
    CourseNote,
    GreenReading,
    GreenWork,
    GreenWorkChange,
    RecoveryTime,
    WorkStatus,
)
from courses.layout.models import Course, Gender, Hole, PartOfDay, PlayingConditions, Rating, Section, TeeSet
from courses.plans.models import HoleShape

__all__ = [
    "CalendarFeed",
    "Course",
    "CourseNote",
    "Event",
    "Gender",
    "GreenReading",
    "GreenWork",
    "GreenWorkChange",
    "Hole",
    "HoleShape",
    "PartOfDay",
    "PlayingConditions",
    "Rating",
    "RecoveryTime",
    "Section",
    "TeeSet",
    "WorkStatus",
]
