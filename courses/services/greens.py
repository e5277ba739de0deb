"""Green work, with its history. Whoever computes from it is told which days of which course it touches."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django.db import transaction

from courses.inputs import GreenWorkBody
from courses.models import Course, GreenWork, GreenWorkChange
from courses.queries.condition import days_felt
from golfstats.api.problems import Fault, invalid
from golfstats.clubs.models import Member
from golfstats.ids import new_id
from golfstats.outbox import work
from golfstats.webhooks.models import Happening
from golfstats.webhooks.services import announce

GREENS_CHANGED = "greens_changed"
"""Key: ``<course>:<first day>:<last day>``, the days whose surface may be other than it was thought to be."""

FIELDS = tuple(name for name in GreenWorkBody.model_fields if name != "ends_on")
ALL_FIELDS = ("starts_on", "ends_on", *(name for name in FIELDS if name != "starts_on"))


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


def as_fields(row: GreenWork) -> dict[str, Any]:
    """What a person can enter of green work, for the history and for comparing."""
    values = {name: getattr(row, name) for name in ALL_FIELDS}
    return {name: value.isoformat() if isinstance(value, date) else value for name, value in values.items()}


def refuse_unknown_greens(course: Course, holes: Sequence[int], pointer: str) -> None:
    unknown = [hole for hole in holes if hole > course.hole_count]
    if unknown:
        detail = f"{course.name} has {course.hole_count} holes"
        raise invalid([Fault(pointer, "no_such_green", detail)])


def _fill(row: GreenWork, given: GreenWorkBody) -> None:
    for name in FIELDS:
        setattr(row, name, getattr(given, name))
    row.ends_on = given.last_day
    row.status = given.status.value


def _write_history(
    member: Member, row: GreenWork, action: str, before: dict[str, Any] | None, after: dict[str, Any] | None
) -> None:
    GreenWorkChange.objects.create(
        work_id=row.id, changed_by=member, action=action, before=before, after=after
    )
    course = {"id": str(row.course_id), "name": row.course.name}
    body = {"action": action, "id": str(row.id), "course": course, "before": before, "after": after}
    announce(Happening.GREEN_WORK_ANNOUNCED, body)


def _tell(spans: Iterable[tuple[date, date]], course_id: UUID) -> None:
    for first, last in set(spans):
        work.ask(GREENS_CHANGED, f"{course_id}:{first.isoformat()}:{last.isoformat()}")
