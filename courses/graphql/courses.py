"""Courses and their greens, for GraphQL: the same queries, services, permissions and words as REST."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

import strawberry
from django.db.models import QuerySet
from django.utils import timezone
from django_filters import FilterSet
from strawberry.scalars import JSON

from courses import models, output, queries
from courses.api.days import EventFilter, PlayingConditionsFilter
from courses.api.greens import CourseNoteFilter, GreenReadingFilter, GreenWorkFilter
from courses.queries import of_courses
from golfstats.api.filters import filtered
from golfstats.api.problems import not_found
from golfstats.calc.greens.work_types import work_types
from golfstats.clubs.models import Club
from golfstats.clubs.owned import ClubOwned
from golfstats.graphql.context import Info
from golfstats.graphql.paging import USUAL_PAGE, Connection, Line, Order, Page, page_of, pages_by
from golfstats.graphql.rows import ClubType, Family, Row, row_of, rows_of

BY_NAME = Order(("name", "id"))
LATEST_WORK = Order(("-starts_on", "-id"))
LATEST_CHANGES = Order(("-changed_at", "-id"))
LATEST_READINGS = Order(("-measured_at", "-id"))
LATEST_CONDITIONS = Order(("-played_on", "-id"))
NEWEST_DAY = Order(("-day", "-id"))

ModelT = TypeVar("ModelT", bound=ClubOwned)
Since = Annotated[dt.date | None, strawberry.argument(name="from")]
Until = Annotated[dt.date | None, strawberry.argument(name="to")]
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
    def green_work(
        course: Parent,
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        kind: str | None = None,
        status: str | None = None,
        since: Since = None,
        until: Until = None,
    ) -> Any:
        asked = _Asked(GreenWorkFilter, since, until, kind=kind, status=status)
        rows, page = of_courses.all_green_work(), Page(first, after)
        return _page(course, info, asked, rows, LATEST_WORK, page, work_line)

    @strawberry.field(graphql_type=Connection[GreenReading], description="Latest first.")
    @staticmethod
    def green_readings(
        course: Parent,
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        hole: int | None = None,
        since: Since = None,
        until: Until = None,
    ) -> Any:
        asked = _Asked(GreenReadingFilter, since, until, hole=hole)
        rows, page = of_courses.all_green_readings(), Page(first, after)
        return _page(course, info, asked, rows, LATEST_READINGS, page, output.reading_line)

    @strawberry.field(graphql_type=Connection[Event], description="Latest first.")
    @staticmethod
    def events(
        course: Parent,
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        since: Since = None,
        until: Until = None,
    ) -> Any:
        asked, rows, page = _Asked(EventFilter, since, until), of_courses.all_events(), Page(first, after)
        return _page(course, info, asked, rows, LATEST_WORK, page, output.event_line)

    @strawberry.field(graphql_type=Connection[PlayingConditions], description="Latest first.")
    @staticmethod
    def playing_conditions(
        course: Parent,
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        since: Since = None,
        until: Until = None,
    ) -> Any:
        asked = _Asked(PlayingConditionsFilter, since, until)
        rows, page = of_courses.all_playing_conditions(), Page(first, after)
        return _page(course, info, asked, rows, LATEST_CONDITIONS, page, output.playing_conditions_line)

    @strawberry.field(graphql_type=Connection[CourseNote], description="Condition notes, latest first.")
    @staticmethod
    def notes(
        course: Parent,
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        since: Since = None,
        until: Until = None,
    ) -> Any:
        asked = _Asked(CourseNoteFilter, since, until)
        rows, page = of_courses.all_course_notes(), Page(first, after)
        return _page(course, info, asked, rows, NEWEST_DAY, page, output.note_line)


class _Asked:
    """The filters of a list of REST, and what is asked of them."""

    def __init__(
        self, filters: type[FilterSet], since: dt.date | None, until: dt.date | None, **others: Any
    ) -> None:
        given = {"from": since and since.isoformat(), "to": until and until.isoformat()} | others
        self.filters = filters
        self.values = {name: str(value) for name, value in given.items() if value is not None}
        self.key = (filters, *sorted(self.values.items()))


def _page(
    course: Row,
    info: Info,
    asked: _Asked,
    rows: QuerySet[ModelT],
    order: Order,
    page: Page,
    line: Line[ModelT],
) -> dict[str, Any]:
    family = course.family

    def load() -> dict[UUID, dict[str, Any]]:
        with timezone.override(info.context.club.time_zone):  # days asked for are days at the club
            wanted = filtered(asked.filters, asked.values, rows)
            return pages_by(wanted, "course_id", family.ids, order, page, line)

    return family.once((asked.key, page), load)[course.id]


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


def work_line(work: models.GreenWork) -> dict[str, Any]:
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
        return row_of(found_course(id), output.course_line)

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


def found_course(course_id: UUID) -> models.Course:
    course = queries.courses().filter(id=course_id).first()
    if course is None:
        raise not_found("No course")
    return course
