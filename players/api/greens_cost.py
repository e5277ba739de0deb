"""For staff, what green work cost and when to do it; for everybody, putt or chip from beside a disturbed green."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Annotated, Any
from uuid import UUID
from zoneinfo import ZoneInfo

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import Field, model_validator
from rest_framework.request import Request
from rest_framework.response import Response

from courses import permissions
from courses import queries as courses
from courses.api.base import CourseView, found
from courses.inputs import Kind
from courses.models import Course, GreenWork
from golfstats.api.bodies import Day
from golfstats.calc.greens.around_the_green import LONGEST_YARDS
from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.planner import PlannedDay
from golfstats.calc.greens.work_types import work_types
from golfstats.clubs.models import Club
from players.api import condition_examples as examples
from players.api.figures import figure_json
from players.api.query_string import NoQuery, checked_query
from players.conditions import queries as conditions
from players.conditions.queries import WorkCost
from players.queries.benchmarks import benchmark_for

MOST_DATES = 92


class PlanQuery(NoQuery):
    first: Day = Field(alias="from")
    last: Day = Field(alias="to")
    kind: Kind
    days: Annotated[int, Field(ge=1, le=14)] = 1

    @model_validator(mode="after")
    def in_order(self) -> PlanQuery:
        if not 0 <= (self.last - self.first).days < MOST_DATES:
            raise ValueError(f"from comes before to, and no more than {MOST_DATES} dates")
        return self


class GreenWorkCost(CourseView):
    @extend_schema(
        operation_id="read_green_work_cost",
        summary="What a piece of green work cost the members so far, and when the greens were back (staff)",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Cost", value=examples.WORK_COST)],
    )
    def get(self, request: Request, course_id: UUID, work_id: UUID) -> Response:
        checked_query(NoQuery, request)
        row = found(courses.green_work(course_id).filter(id=work_id), "No green work")
        permissions.require(self.member, permissions.GREEN_STAFF)
        return Response(work_cost_json(row, _today(self.club.time_zone)))


def work_cost_json(row: GreenWork, today: dt.date) -> dict[str, Any]:
    cost = conditions.work_cost(row, today)
    return {
        "work": {
            "id": row.id,
            "kind": row.kind,
            "words": work_types()[row.kind].words,
            "starts_on": row.starts_on,
            "ends_on": row.ends_on,
        },
        "rounds": cost.rounds,
        "by": "putts after this kind of work" if cost.own_kind else "putts after all work",
        "strokes": figure_json(cost.strokes, of="round", signed=True),
        "first_day": figure_json(cost.first_day, of="round", signed=True),
        "recovery_days": figure_json(cost.recovery_days, of="round"),
        "back": _back(cost, row.ends_on),
    }


class Planner(CourseView):
    @extend_schema(
        operation_id="plan_green_work",
        summary="Candidate first days for green work: expected rounds and events before the greens are back (staff)",
        description=(
            "Expected rounds are the usual number on the same weekday around the same date in the years on record; "
            "disturbed rounds count each by the day's disturbance. Less than four weeks on record give null."
        ),
        parameters=[
            OpenApiParameter("from", OpenApiTypes.DATE, required=True),
            OpenApiParameter("to", OpenApiTypes.DATE, required=True),
            OpenApiParameter("kind", OpenApiTypes.STR, required=True),
            OpenApiParameter(
                "days", OpenApiTypes.INT, description="how many days the work takes; 1 if left out"
            ),
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Plan", value=examples.PLAN)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        query = checked_query(PlanQuery, request)
        return Response(plan_json(course, query, _today(self.club.time_zone)))


def plan_json(course: Course, query: PlanQuery, today: dt.date) -> dict[str, Any]:
    starts = [query.first + dt.timedelta(days=n) for n in range((query.last - query.first).days + 1)]
    work = Work(query.kind, query.first.toordinal(), query.first.toordinal() + query.days - 1)
    planned = conditions.plan_dates(course, work, starts, today)
    own = courses.recovery_by_kind().get(query.kind)
    return {
        "kind": query.kind,
        "words": work_types()[query.kind].words,
        "days": query.days,
        "recovery_days": round(own or work_types()[query.kind].recovery_days, 1),
        "recovery_from": "this club's putts" if own is not None else "usual",
        "dates": _planned_lines(planned),
    }


class AroundTheGreen(CourseView):
    @extend_schema(
        operation_id="read_around_the_green",
        summary="From just off a disturbed green, putting against chipping, by the members' own shots",
        description=(
            "Mean strokes gained of putting minus chipping from the same lie and distance by the same players; "
            "positive favours the putter. Shots need their club recorded."
        ),
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Putt or chip", value=examples.AROUND_THE_GREEN)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        checked_query(NoQuery, request)
        return Response(around_the_green_json(self.course(course_id)))


def around_the_green_json(course: Course) -> dict[str, Any]:
    figure = conditions.around_the_green(course)
    return {
        "what": f"putting minus chipping from off the green, within {LONGEST_YARDS:.0f} yd of the hole, "
        "while the green is disturbed",
        "strokes_gained": figure_json(figure, of="shot", signed=True),
    }


class OnQuery(NoQuery):
    on: Day | None = None


class ExpectedPutts(CourseView):
    @extend_schema(
        operation_id="read_expected_putts",
        summary="Expected putts by distance, on undisturbed greens and on those of a day",
        description=(
            "`usual` is the club's benchmark; `today` adds what the day's surface costs the club's usual member."
        ),
        parameters=[OpenApiParameter("on", OpenApiTypes.DATE, description="Today where it is left out")],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Expected putts", value=examples.EXPECTED_PUTTS)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        day = checked_query(OnQuery, request).on or _today(self.club.time_zone)
        return Response(expected_putts_json(course, day, self.club))


def expected_putts_json(course: Course, day: dt.date, club: Club) -> dict[str, Any]:
    benchmark = benchmark_for(club.benchmark)
    return {
        "day": day,
        "benchmark": {"key": benchmark.key, "name": benchmark.name},
        "results": [
            {
                "distance_ft": one.distance_ft,
                "usual": round(one.usual, 3),
                "today": figure_json(one.today, of="round"),
            }
            for one in conditions.expected_putts_on(course, day, benchmark)
        ],
    }


def _back(cost: WorkCost, last_day: dt.date) -> dict[str, Any]:
    """The day the greens were back, with its interval; the usual day where the club's putts cannot tell."""
    days = cost.recovery_days
    if days.value is None or days.low is None or days.high is None:
        usual = _after(last_day, cost.usual_recovery_days)
        return {"on": usual, "earliest": None, "latest": None, "from": "usual"}
    return {
        "on": _after(last_day, days.value),
        "earliest": _after(last_day, days.low),
        "latest": _after(last_day, days.high),
        "from": "this club's putts",
    }


def _after(day: dt.date, days: float) -> dt.date:
    return day + dt.timedelta(days=round(days))


def _planned_lines(planned: Sequence[PlannedDay]) -> list[dict[str, Any]]:
    return [
        {
            "starts_on": dt.date.fromordinal(one.start),
            "back_on": dt.date.fromordinal(one.back),
            "expected_rounds": _tenths(one.expected_rounds),
            "disturbed_rounds": _tenths(one.disturbed_rounds),
            "events": list(one.events),
        }
        for one in planned
    ]


def _tenths(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _today(time_zone: str) -> dt.date:
    return dt.datetime.now(ZoneInfo(time_zone)).date()
