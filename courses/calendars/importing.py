"""Planned work from a calendar file: what would happen, and making it so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db import transaction

from courses.calendars.reading import PlannedWork
from courses.greens.models import GreenWork
from courses.greens.services import (
    GreenWorkBody,
    add_work,
    as_fields,
    change_work,
    fields_asked,
    fields_of,
)
from courses.layout.models import Course
from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import Fault, invalid
from golfstats.sentences import Sentence


@dataclass
class ImportPlan:
    """What a calendar would do, event by event."""

    new: list[tuple[PlannedWork, GreenWorkBody]] = field(default_factory=list)
    changed: list[tuple[GreenWork, GreenWorkBody]] = field(default_factory=list)
    unchanged: list[GreenWork] = field(default_factory=list)
    unknown: list[PlannedWork] = field(default_factory=list)
    """Events whose words fit no kind: the mapping has to name one before anything is saved."""


def plan_import(course: Course, planned: Sequence[PlannedWork]) -> ImportPlan:
    """Compare a calendar's events with the course's work, by UID. One query."""
    known = {
        row.uid: row
        for row in GreenWork.objects.filter(
            course=course, uid__in=[one.uid for one in planned]
        ).select_related("course")
    }
    plan = ImportPlan()
    for one in planned:
        row = known.get(one.uid)
        kind = row.kind if row is not None and one.kind is None else one.kind
        if kind is None:
            plan.unknown.append(one)
            continue
        wanted = _wanted(one, kind, row)
        if row is None:
            plan.new.append((one, wanted))
        elif fields_asked(wanted) == fields_of(row):
            plan.unchanged.append(row)
        else:
            plan.changed.append((row, wanted))
    return plan


@transaction.atomic
def carry_out(member: Member, course: Course, plan: ImportPlan) -> list[GreenWork]:
    """Save what the plan says: all of it or nothing. Raises a 422 problem while a kind is unknown."""
    if plan.unknown:
        detail = Sentence("no kind of work is known for it: name one in map, such as map=word:coring_medium")
        raise invalid(
            [
                Fault(
                    "/map",
                    "unknown_kind",
                    Sentence("{value}: {detail}", value=one.summary or one.uid, detail=detail),
                )
                for one in plan.unknown
            ],
            Sentence("Some events cannot be taken over"),
        )
    saved = [add_work(member, course, wanted, uid=one.uid) for one, wanted in plan.new]
    return saved + [change_work(member, row, wanted) for row, wanted in plan.changed]


def _wanted(one: PlannedWork, kind: str, row: GreenWork | None) -> GreenWorkBody:
    """What the event asks for; what a calendar does not say stays as it is."""
    kept: dict[str, object] = as_fields(row) if row is not None else {}
    given = {
        "kind": kind,
        "starts_on": one.starts_on,
        "ends_on": one.ends_on,
        "status": one.status,
        "note": one.note if one.note is not None else kept.get("note", one.summary),
        "holes": one.holes if one.holes is not None else kept.get("holes", []),
    }
    return GreenWorkBody.model_validate(kept | given)
