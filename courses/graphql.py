"""Courses and their greens, for GraphQL: the same queries, services, permissions and words as REST."""

from __future__ import annotations

import datetime as dt
from typing import Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

import strawberry
from django.db.models import QuerySet
from rest_framework import status
from strawberry.scalars import JSON

from courses import models, output, permissions, queries
from courses.inputs import GreenWorkBody
from courses.queries import of_courses
from courses.services import greens
from golfstats.api import bodies
from golfstats.api.problems import ProblemError, not_found
from golfstats.calc.greens.work_types import work_types
from golfstats.clubs.models import Club
from golfstats.clubs.owned import ClubOwned
from golfstats.graphql.context import Info
from golfstats.graphql.inputs import given_fields
from golfstats.graphql.paging import USUAL_PAGE, Connection, Line, Order, Page, page_of, pages_by
from golfstats.graphql.rows import ClubType, Family, Row, row_of, rows_of

BY_NAME = Order(("name", "id"))
LATEST_WORK = Order(("-starts_on", "-id"))
LATEST_CHANGES = Order(("-changed_at", "-id"))
LATEST_READINGS = Order(("-measured_at", "-id"))
LATEST_CONDITIONS = Order(("-played_on", "-id"))
NEWEST_DAY = Order(("-day", "-id"))

ModelT = TypeVar("ModelT", bound=ClubOwned)
Parent = strawberry.Parent[Row]


@strawberry.type
class Hole(ClubType):
    model = models.Hole
    number: int
    length: float = strawberry.field(description="In the club's unit.")
    par_men: int | None
    par_women: int | None
    stroke_index_men: int | None
    stroke_index_women: int | None


@strawberry.type
class Rating(ClubType):
    model = models.Rating
    gender: str
    section: str
    course_rating: float
    slope_rating: int
    par: int


@strawberry.type
class TeeSet(ClubType):
    model = models.TeeSet
    id: UUID
    name: str
    length: float | None
    unit: str
    holes: list[Hole]
    ratings: list[Rating]


@strawberry.type
class GreenWork(ClubType):
    model = models.GreenWork
    id: UUID
    kind: str
    words: str
    starts_on: dt.date
    ends_on: dt.date
    holes: list[int] = strawberry.field(description="Numbers of the greens; empty is all.")
    tine_diameter_mm: float | None
    spacing_along_mm: float | None
    spacing_across_mm: float | None
    severity: float | None
    temporary_greens: bool
    status: str
    note: str
    disturbance_at_once: float
    usual_recovery_days: float
    uid: str
    sequence: int
    entered_by: str | None
    changed_at: dt.datetime


@strawberry.type(description="What was done to a piece of green work.")
class GreenWorkChange(ClubType):
    model = models.GreenWorkChange
    changed_at: dt.datetime
    changed_by: str | None
    action: str
    before: JSON | None
    after: JSON | None


@strawberry.type
class GreenReading(ClubType):
    model = models.GreenReading
    id: UUID
    hole: int | None
    measured_at: dt.datetime
    roll_one_way_ft: list[float]
    roll_other_way_ft: list[float]
    speed_ft: float | None
    doubtful: bool
    doubts: list[str]
    firmness_g: float | None
    moisture_pct: float | None
    mowing_height_mm: float | None
    bobble_score: int | None
    note: str
    entered_by: str | None


@strawberry.type
class Event(ClubType):
    model = models.Event
    id: UUID
    name: str
    starts_on: dt.date
    ends_on: dt.date
    competition: bool


@strawberry.type
class PlayingConditions(ClubType):
    model = models.PlayingConditions
    id: UUID
    played_on: dt.date
    part_of_day: str
    pcc: int
    origin: str
    entered_by: str | None
    entered_at: dt.datetime


@strawberry.type
class CourseNote(ClubType):
    model = models.CourseNote
    day: dt.date
    text: str
    figures: JSON = strawberry.field(description="The numbers that the text rests on.")
    written_at: dt.datetime


@strawberry.type
class GreenState:
    hole: int
    disturbance: float = strawberry.field(description="0 is undisturbed, 1 just cored.")
    temporary: bool


@strawberry.type
class FeltWork:
    id: UUID
    kind: str
    words: str
    days_since: int
    holes: list[int]
    status: str


@strawberry.type
class CourseCondition:
    day: dt.date
    disturbance: float
    greens: list[GreenState]
    work: list[FeltWork]


@strawberry.type
class WorkType:
    kind: str
    words: str
    description: str
    severity: float
    recovery_days: float
    recovery_days_range: list[float]
    source: str


@strawberry.type
class Course(ClubType):
    model = models.Course
    id: UUID
    name: str
    hole_count: int
    grass: str
    season: str

    @strawberry.field(graphql_type=list[TeeSet])
    @staticmethod
    def tees(course: Parent, info: Info) -> Any:
        family = course.family
        return family.once("tees", lambda: _tees(family, info.context.club))[course.id]

    @strawberry.field(graphql_type=CourseCondition, description="The greens on a day; today if left out.")
    @staticmethod
    def condition(course: Parent, info: Info, on: dt.date | None = None) -> Any:
        day = on or dt.datetime.now(ZoneInfo(info.context.club.time_zone)).date()
        assert isinstance(course.model, models.Course)  # noqa: S101 - a type of its own refuses other rows
        return output.condition_line(queries.condition_on(course.model, day))

    @strawberry.field(graphql_type=Connection[GreenWork], description="Latest first.")
    @staticmethod
    def green_work(course: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        rows, page = of_courses.all_green_work(), Page(first, after)
        return _page(course, "green_work", rows, LATEST_WORK, page, _work_line)

    @strawberry.field(graphql_type=Connection[GreenReading], description="Latest first.")
    @staticmethod
    def green_readings(course: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        rows, page = of_courses.all_green_readings(), Page(first, after)
        return _page(course, "green_readings", rows, LATEST_READINGS, page, output.reading_line)

    @strawberry.field(graphql_type=Connection[Event], description="Latest first.")
    @staticmethod
    def events(course: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        rows, page = of_courses.all_events(), Page(first, after)
        return _page(course, "events", rows, LATEST_WORK, page, output.event_line)

    @strawberry.field(graphql_type=Connection[PlayingConditions], description="Latest first.")
    @staticmethod
    def playing_conditions(course: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        rows, page = of_courses.all_playing_conditions(), Page(first, after)
        return _page(
            course, "playing_conditions", rows, LATEST_CONDITIONS, page, output.playing_conditions_line
        )

    @strawberry.field(graphql_type=Connection[CourseNote], description="Condition notes, latest first.")
    @staticmethod
    def notes(course: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        rows, page = of_courses.all_course_notes(), Page(first, after)
        return _page(course, "notes", rows, NEWEST_DAY, page, output.note_line)


def _page(
    course: Row, name: str, rows: QuerySet[ModelT], order: Order, page: Page, line: Line[ModelT]
) -> dict[str, Any]:
    family = course.family
    pages = family.once((name, page), lambda: pages_by(rows, "course_id", family.ids, order, page, line))
    return pages[course.id]


def _tees(family: Family, club: Club) -> dict[UUID, list[Row]]:
    found = family.models(models.Course)
    of_courses.load_tees(found)
    tees = rows_of(
        (tee for course in found for tee in course.tee_sets.all()), lambda tee: _tee_line(tee, club)
    )
    return {course.id: [tee for tee in tees if tee.line["course"] == course.id] for course in found}


def _tee_line(tee: models.TeeSet, club: Club) -> dict[str, Any]:
    line = output.tee_set_in_full(tee, club)
    holes = {hole["number"]: hole for hole in line["holes"]}
    ratings = {(rating["gender"], rating["section"]): rating for rating in line["ratings"]}
    return line | {
        "course": tee.course_id,
        "holes": rows_of(tee.holes.all(), lambda hole: holes[hole.number]),
        "ratings": rows_of(tee.ratings.all(), lambda rating: ratings[rating.gender, rating.section]),
    }


def _work_line(work: models.GreenWork) -> dict[str, Any]:
    # REST gives the days as its history keeps them, as text.
    return output.green_work_line(work) | {"starts_on": work.starts_on, "ends_on": work.ends_on}


@strawberry.type
class CourseQuery:
    @strawberry.field(graphql_type=Connection[Course], description="The club's courses, by name.")
    @staticmethod
    def courses(first: int = USUAL_PAGE, after: str | None = None) -> Any:
        return page_of(queries.courses(), BY_NAME, Page(first, after), output.course_line)

    @strawberry.field(graphql_type=Course | None)
    @staticmethod
    def course(id: UUID) -> Any:
        return row_of(_course(id), output.course_line)

    @strawberry.field(
        graphql_type=Connection[GreenWorkChange] | None,
        description="What was done to a piece of green work, latest first; also after it was deleted.",
    )
    @staticmethod
    def green_work_history(id: UUID, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        changes = queries.history(id)
        if not changes.exists():
            raise not_found("No green work")
        return page_of(changes, LATEST_CHANGES, Page(first, after), output.change_line)

    @strawberry.field(graphql_type=list[WorkType], description="Kinds of green work.")
    @staticmethod
    def green_work_types() -> Any:
        return list(work_types().values())


def _course(course_id: UUID) -> models.Course:
    course = queries.courses().filter(id=course_id).first()
    if course is None:
        raise not_found("No course")
    return course


@strawberry.input(
    description="Fields that are left out keep their usual value, or in a change their present one."
)
class GreenWorkInput:
    kind: str | None = strawberry.UNSET
    starts_on: dt.date | None = strawberry.UNSET
    ends_on: dt.date | None = strawberry.UNSET
    holes: list[int] | None = strawberry.UNSET
    tine_diameter_mm: float | None = strawberry.UNSET
    spacing_along_mm: float | None = strawberry.UNSET
    spacing_across_mm: float | None = strawberry.UNSET
    severity: float | None = strawberry.UNSET
    temporary_greens: bool | None = strawberry.UNSET
    status: str | None = strawberry.UNSET
    note: str | None = strawberry.UNSET


@strawberry.type
class CourseMutation:
    @strawberry.mutation(graphql_type=GreenWork, description="Enter green work (greenkeepers and managers).")
    @staticmethod
    def add_green_work(info: Info, course_id: UUID, work: GreenWorkInput) -> Any:
        course = _course(course_id)
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        given = bodies.checked(GreenWorkBody, given_fields(work))
        return row_of(greens.add_work(info.context.member, course, given), _work_line)

    @strawberry.mutation(
        graphql_type=GreenWork,
        description=(
            "Correct green work (greenkeepers and managers). With `sequence`, only if it is still the one you read."
        ),
    )
    @staticmethod
    def change_green_work(info: Info, id: UUID, changes: GreenWorkInput, sequence: int | None = None) -> Any:
        row = of_courses.all_green_work().select_for_update(of=("self",)).filter(id=id).first()
        if row is None:
            raise not_found("No green work")
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        if sequence is not None and sequence != row.sequence:
            raise ProblemError(
                "changed-meanwhile",
                "The work was changed since you read it",
                status.HTTP_412_PRECONDITION_FAILED,
            )
        given = bodies.checked(GreenWorkBody, greens.as_fields(row) | given_fields(changes))
        return row_of(greens.change_work(info.context.member, row, given), _work_line)
