"""What disturbed greens and other contexts cost the members, what green work cost, and when to do it."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any
from uuid import UUID

import strawberry

from courses import permissions
from courses.graphql.courses import found_course
from courses.queries import of_courses
from golfstats.api import bodies
from golfstats.api.problems import not_found
from golfstats.graphql.context import Info
from players.api.conditions import condition_effect_json, context_effects_json
from players.api.greens_cost import (
    OnQuery,
    PlanQuery,
    around_the_green_json,
    expected_putts_json,
    plan_json,
    work_cost_json,
)
from players.coaching.history import today_at
from players.conditions.effect import stored_effect
from players.graphql.figures import Figure


@strawberry.type
class EffectEvidence:
    rounds: int
    days: int
    enough: bool
    chance_of_any_effect: float | None = strawberry.field(description="Null with too few rounds.")
    claimed: bool


@strawberry.type
class StrokesAfter:
    days_after: int
    strokes: Figure


@strawberry.type
class EffectOfKind(EffectEvidence):
    kind: str
    words: str
    by: str
    recovery_days: Figure
    strokes_a_round: list[StrokesAfter]


@strawberry.type(description="What disturbed greens cost the members here, by the club's own putts.")
class ConditionEffect(EffectEvidence):
    fitted_at: dt.datetime | None
    putts: int
    at_full_disturbance: Figure
    kinds: list[EffectOfKind]


@strawberry.type
class ContextEffect:
    key: str
    words: str
    strokes: Figure


@strawberry.type(description="What else moves a round here, all in one model.")
class ContextEffects:
    fitted_at: dt.datetime | None
    results: list[ContextEffect]


@strawberry.type
class CostlyWork:
    id: UUID
    kind: str
    words: str
    starts_on: dt.date
    ends_on: dt.date


@strawberry.type(description="The day on which the greens were back.")
class BackOn:
    on: dt.date
    earliest: dt.date | None
    latest: dt.date | None

    @strawberry.field(name="from")
    @staticmethod
    def known_from(back: strawberry.Parent[dict[str, Any]]) -> str:
        return str(back["from"])


@strawberry.type
class GreenWorkCost:
    work: CostlyWork
    rounds: int
    by: str
    strokes: Figure
    first_day: Figure
    recovery_days: Figure
    back: BackOn


@strawberry.type
class PlannedDay:
    starts_on: dt.date
    back_on: dt.date
    expected_rounds: float | None
    disturbed_rounds: float | None
    events: list[str]


@strawberry.type
class GreenWorkPlan:
    kind: str
    words: str
    days: int
    recovery_days: float
    recovery_from: str
    dates: list[PlannedDay]


@strawberry.type
class AroundTheGreen:
    what: str
    strokes_gained: Figure


@strawberry.type
class BenchmarkName:
    key: str
    name: str


@strawberry.type
class ExpectedPuttsFrom:
    distance_ft: float
    usual: float
    today: Figure


@strawberry.type(description="Expected putts on undisturbed greens and on those of the day.")
class ExpectedPutts:
    day: dt.date
    benchmark: BenchmarkName
    results: list[ExpectedPuttsFrom]


@strawberry.type
class GreensQuery:
    @strawberry.field(graphql_type=ConditionEffect)
    @staticmethod
    def condition_effect() -> Any:
        return condition_effect_json(stored_effect())

    @strawberry.field(graphql_type=ContextEffects)
    @staticmethod
    def context_effects() -> Any:
        return context_effects_json(stored_effect())

    @strawberry.field(
        graphql_type=GreenWorkCost | None,
        description="What a piece of green work cost the members so far (greenkeepers and managers).",
    )
    @staticmethod
    def green_work_cost(info: Info, id: UUID) -> Any:
        row = of_courses.all_green_work().filter(id=id).first()
        if row is None:
            raise not_found("No green work")
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        return work_cost_json(row, today_at(info.context.club))

    @strawberry.field(
        graphql_type=GreenWorkPlan | None,
        description="Candidate first days for green work (greenkeepers and managers).",
    )
    @staticmethod
    def planner(
        info: Info,
        course: UUID,
        kind: str,
        since: Annotated[dt.date, strawberry.argument(name="from")],
        until: Annotated[dt.date, strawberry.argument(name="to")],
        days: int = 1,
    ) -> Any:
        found = found_course(course)
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        given = {"kind": kind, "from": since.isoformat(), "to": until.isoformat(), "days": days}
        return plan_json(found, bodies.checked(PlanQuery, given), today_at(info.context.club))

    @strawberry.field(
        graphql_type=AroundTheGreen | None, description="Putting against chipping beside a disturbed green."
    )
    @staticmethod
    def around_the_green(course: UUID) -> Any:
        return around_the_green_json(found_course(course))

    @strawberry.field(graphql_type=ExpectedPutts | None, description="By distance; of today without a day.")
    @staticmethod
    def expected_putts(info: Info, course: UUID, on: dt.date | None = None) -> Any:
        club = info.context.club
        found = found_course(course)
        query = bodies.checked(OnQuery, {"on": None if on is None else on.isoformat()})
        return expected_putts_json(found, query.on or today_at(club), club)
