"""What may be asked and changed of greens."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from courses.greens import answers, services
from courses.greens.announcing import (
    GREEN_READING_DELETED,
    GREEN_WORK_ANNOUNCED,
    GREEN_WORK_CHANGED,
    GREEN_WORK_REMOVED,
    GREENS_MEASURED,
)
from courses.greens.models import CourseNote, GreenReading, GreenWork, WorkStatus
from courses.layout.models import Course
from courses.layout.operations import COURSE, GREEN_STAFF, OF_A_COURSE
from courses.layout.permissions import visible_courses
from golfstats.ground.inputs import Day
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Gathering,
    Line,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.resources import Writes, reading_of, resource
from golfstats.ground.stretches import Column

GREEN_WORK = Subject(
    word="green work",
    parameter="work_id",
    above=OF_A_COURSE,
    root="green_work",
    model=GreenWork,
    visible=lambda asker: GreenWork.objects.filter(course__in=visible_courses(asker.member)).select_related(
        "entered_by", "course"
    ),
    head=answers.GreenWork,
    heads=answers.green_work,
)
GREEN_READING = Subject(
    word="green reading",
    parameter="reading_id",
    above=OF_A_COURSE,
    model=GreenReading,
    visible=lambda asker: GreenReading.objects.filter(
        course__in=visible_courses(asker.member)
    ).select_related("entered_by", "course"),
    head=answers.GreenReading,
    heads=answers.green_readings,
)


class WorkQuery(Query):
    since: Annotated[Day | None, Column("ends_on__gte")] = Field(None, alias="from")
    """First day."""
    until: Annotated[Day | None, Column("starts_on__lte")] = Field(None, alias="to")
    """Last day."""
    kind: Annotated[services.Kind | None, Column("kind")] = None
    """One of the types of green work."""
    status: Annotated[WorkStatus | None, Column("status")] = None
    """Confirmed, tentative or cancelled."""


class ReadingQuery(Query):
    since: Annotated[Day | None, Column("measured_at__date__gte")] = Field(None, alias="from")
    """First day."""
    until: Annotated[Day | None, Column("measured_at__date__lte")] = Field(None, alias="to")
    """Last day."""
    hole: Annotated[int | None, Column("hole")] = Field(None, ge=1, le=18)
    """Number of the green."""


class NoteQuery(Query):
    since: Annotated[Day | None, Column("day__gte")] = Field(None, alias="from")
    """First day."""
    until: Annotated[Day | None, Column("day__lte")] = Field(None, alias="to")
    """Last day."""


def _add_work(asker: Asker, course: Course, given: services.GreenWorkBody) -> Done:
    return _done(services.add_work(asker.member, course, given))


def _change_work(asker: Asker, work: GreenWork, given: services.GreenWorkBody) -> Done:
    return _done(services.change_work(asker.member, work, given))


def _done(work: GreenWork) -> Done:
    return Done(work, version=work.sequence)


def _delete_work(asker: Asker, work: GreenWork) -> None:
    services.delete_work(asker.member, work)


def _add_reading(asker: Asker, course: Course, given: services.GreenReadingBody) -> GreenReading:
    return services.save_reading(asker.member, course, GreenReading(), given)


def _correct_reading(asker: Asker, row: GreenReading, given: services.GreenReadingBody) -> GreenReading:
    return services.save_reading(asker.member, row.course, row, given)


def _delete_reading(_: Asker, row: GreenReading) -> None:
    services.delete_reading(row)


WORK = "courses/<uuid:course_id>/green-work"
ONE: dict[str, Any] = {
    "name": "green-work",
    "path": f"{WORK}/<uuid:work_id>",
    "version": lambda work: work.sequence,
}

OPERATIONS: list[Operation] = [
    Gathering(
        name="green-work-types",
        id="list_work_types",
        path="green-work-types",
        field="green_work_types",
        summary="Kinds of green work, with usual severity and recovery and where these are known from",
        line=answers.WorkType,
        gather=answers.kinds_of_work,
        longest=30,
    ),
    Listing(
        name="green-work-list",
        id="list_green_work",
        path=WORK,
        field="green_work",
        about=COURSE,
        parent="course_id",
        summary="Green work of a course, latest first",
        rows=GREEN_WORK.visible,
        of=GREEN_WORK,
        order=("-starts_on", "-id"),
        query=WorkQuery,
    ),
    Change(
        name="green-work-list",
        id="add_green_work",
        path=WORK,
        field="add_green_work",
        verb="POST",
        about=COURSE,
        of=GREEN_WORK,
        roles=GREEN_STAFF,
        summary="Enter green work, before or after the fact (greenkeepers and managers)",
        description=(
            "Works may overlap: their disturbances are combined. Rounds played while it is felt get their "
            "condition notes and condition-adjusted putting again; raw figures never change."
        ),
        body=services.GreenWorkBody,
        sends=(GREEN_WORK_ANNOUNCED,),
        do=_add_work,
    ),
    reading_of(GREEN_WORK, **ONE, id="read_green_work", summary="A piece of green work"),
    Change(
        **ONE,
        id="change_green_work",
        field="change_green_work",
        verb="PATCH",
        about=GREEN_WORK,
        of=GREEN_WORK,
        roles=GREEN_STAFF,
        summary="Correct green work; what it said before stays in its history (greenkeepers and managers)",
        body=services.GreenWorkBody,
        present=services.as_fields,
        sends=(GREEN_WORK_CHANGED,),
        do=_change_work,
    ),
    Change(
        **ONE,
        id="delete_green_work",
        field="delete_green_work",
        verb="DELETE",
        about=GREEN_WORK,
        roles=GREEN_STAFF,
        summary="Take back green work entered by mistake; its history stays (greenkeepers and managers)",
        sends=(GREEN_WORK_REMOVED,),
        do=_delete_work,
    ),
    Gathering(
        name="green-work-history",
        id="read_green_work_history",
        path=f"{WORK}/<uuid:work_id>/history",
        field="green_work_history",
        about=COURSE,
        summary="What was done to a piece of green work, latest first; also after it was deleted",
        line=answers.GreenWorkChange,
        query=answers.HistoryQuery,
        gather=answers.history,
        key=lambda change: change.changed_at.isoformat(),
    ),
    *resource(
        GREEN_READING,
        plural="green readings",
        path="courses/<uuid:course_id>/green-readings",
        about=COURSE,
        parent="course_id",
        order=("-measured_at", "-id"),
        query=ReadingQuery,
        roles=GREEN_STAFF,
        present=lambda row: {name: getattr(row, name) for name in services.GreenReadingBody.model_fields},
        lists="Measurements of the greens, latest first",
        reads="A measurement of the greens",
        add=Writes(
            "Enter a reading: stimpmeter both ways, firmness, mowing height, bobble score (staff)",
            _add_reading,
            services.GreenReadingBody,
            "Speed is 2·up·down ÷ (up + down). Doubtful where balls rolled the same way stop more than 8 in apart, "
            "or the two ways differ by more than 18 in; doubtful readings are kept but not computed with.",
            sends=(GREENS_MEASURED,),
        ),
        change=Writes(
            "Correct a reading (greenkeepers and managers)",
            _correct_reading,
            services.GreenReadingBody,
            sends=(GREENS_MEASURED,),
        ),
        delete=Writes(
            "Delete a reading (greenkeepers and managers)", _delete_reading, sends=(GREEN_READING_DELETED,)
        ),
    ),
    Reading(
        name="course-condition",
        id="read_course_condition",
        path="courses/<uuid:course_id>/condition",
        field="condition",
        about=COURSE,
        cost=60,
        summary="Surface of the greens on a day, and what is expected of the 30 days from then",
        description=(
            "Surface disturbance runs from 0 (undisturbed) to 1 (just cored). Planned work counts unless it is "
            "cancelled. Recovery days are the usual ones until the club's own putts show others."
        ),
        answer=answers.CourseCondition,
        query=answers.ConditionQuery,
        read=answers.conditions,
    ),
    Listing(
        name="course-notes",
        id="list_course_notes",
        path="courses/<uuid:course_id>/notes",
        field="notes",
        about=COURSE,
        parent="course_id",
        summary="Condition notes of a course's days, latest first: what was done to the greens and what it costs here",
        description=(
            "Written by the worker for days on which the greens are disturbed, also for days to come; written "
            "again when work is entered late or the club's putts say more. `figures` are the numbers in the text."
        ),
        rows=lambda _: CourseNote.objects.all(),
        of=Line(model=CourseNote, head=answers.CourseNote, heads=answers.course_notes),
        order=("-day", "-id"),
        query=NoteQuery,
    ),
]
