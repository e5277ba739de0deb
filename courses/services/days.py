"""What is fixed to a day: playing conditions calculations and events."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db import transaction
from rest_framework import status

from courses.inputs import EventBody, PlayingConditionsBody
from courses.models import Course, Event, PlayingConditions
from golfstats.api.problems import ProblemError
from golfstats.clubs.models import Member
from golfstats.outbox import work

CONDITIONS_CHANGED = "conditions_changed"
"""Key: ``<course>:<date>``. The differentials of that day, and all that follows from them, change."""


@transaction.atomic
def save_playing_conditions(
    member: Member, course: Course, conditions: PlayingConditions, given: PlayingConditionsBody
) -> PlayingConditions:
    """Enter or correct a day's figure. Raises a 409 problem where that day (or part of it) has one."""
    before = None if conditions._state.adding else conditions.played_on
    same = PlayingConditions.objects.filter(
        course=course, played_on=given.played_on, part_of_day=given.part_of_day
    )
    if same.exclude(id=conditions.id).exists():
        raise ProblemError("entered-already", "That day has a figure: correct it", status.HTTP_409_CONFLICT)
    for name, value in given.model_dump().items():
        setattr(conditions, name, value)
    conditions.course, conditions.entered_by = course, member
    conditions.save()
    for day in {given.played_on, before or given.played_on}:
        _announce(course.id, day)
    return conditions


@transaction.atomic
def delete_playing_conditions(conditions: PlayingConditions) -> None:
    course_id, day = conditions.course_id, conditions.played_on
    conditions.delete()
    _announce(course_id, day)


@transaction.atomic
def save_event(course: Course, event: Event, given: EventBody) -> Event:
    event.course, event.name, event.competition = course, given.name, given.competition
    event.starts_on, event.ends_on = given.starts_on, given.last_day
    event.save()
    return event


def _announce(course_id: UUID, day: date) -> None:
    work.ask(CONDITIONS_CHANGED, f"{course_id}:{day.isoformat()}")
