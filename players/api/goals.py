"""Goals of a player: set, read, closed."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

import django_filters
from django.db.models import QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import Field, model_validator
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.bodies import Day
from golfstats.api.filters import checked_filter
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import not_found
from players.api import coach_examples as examples
from players.api.coach_view import Body, CoachView, chance_json, figure_of_spec, named, player_json
from players.api.figures import TO_METRES, in_shown_unit
from players.api.query_string import FigureKey, NoQuery
from players.coaching import goals
from players.coaching.goals import GoalStanding, NewGoal
from players.models import Goal


class WindowBody(Body):
    rounds: int | None = Field(default=None, ge=1, le=200)
    days: int | None = Field(default=None, ge=1, le=1000)

    @model_validator(mode="after")
    def one_of_the_two(self) -> WindowBody:
        if (self.rounds is None) == (self.days is None):
            raise ValueError("give either rounds or days")
        return self


class GoalBody(Body):
    figure: FigureKey
    target: Annotated[float, Field(ge=-1000, le=1000, allow_inf_nan=False)] = Field(
        description="In the figure's unit: strokes, a share from 0 to 1, and lengths in the club's unit."
    )
    due_on: Day
    window: WindowBody = Field(default_factory=lambda: WindowBody(rounds=10))
    note: str = Field(default="", max_length=2000)


class GoalFilter(django_filters.FilterSet):
    state = django_filters.ChoiceFilter(choices=[(s, s) for s in ("open", "met", "missed", "closed")])

    class Meta:
        model = Goal
        fields: list[str] = []


class PlayerGoals(CoachView):
    @extend_schema(
        operation_id="list_player_goals",
        summary="A player's goals, newest first, each with how it stands and the chance of meeting it",
        parameters=[
            OpenApiParameter("state", OpenApiTypes.STR, enum=["open", "met", "missed", "closed"]),
            *PAGE_PARAMETERS,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "A page",
                value=page_example(examples.GOAL),
                response_only=True,
            )
        ],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        player = self.visible_player(player_id)
        mine = goals.visible_goals(self.member).filter(player=player)
        pages = CursorPagination()
        found: QuerySet[Goal] = checked_filter(GoalFilter, request, mine)
        page = pages.paginate_queryset(found, request, view=self) or []
        standings = goals.standings(self.history([player_id]), page, self.today) if page else []
        unit = self.club.distance_unit
        return pages.get_paginated_response([goal_json(one, unit) for one in standings])

    @extend_schema(
        operation_id="set_player_goal",
        summary="Set a goal: a figure, a target, a window and a date",
        request=GoalBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("A goal", value=examples.NEW_GOAL, request_only=True),
            OpenApiExample("Set", value=examples.GOAL, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, player_id: UUID) -> Response:
        self.query(NoQuery, request)
        body = self.body(GoalBody, request)
        player = self.visible_player(player_id)
        golf = self.history([player_id])
        unit = self.club.distance_unit
        wanted = NewGoal(
            figure=body.figure,
            target=goals.in_stored_unit(golf, body.figure, body.target, per_metre(unit)),
            due_on=body.due_on,
            window_rounds=body.window.rounds,
            window_days=body.window.days,
            note=body.note,
        )
        goal = goals.set_goal(self.member, player, golf, wanted, self.today)
        found = goals.standing(golf, goal, self.today)
        return Response(goal_json(found, unit), status.HTTP_201_CREATED)


def per_metre(unit: str) -> dict[str, float]:
    """How many of the shown unit make one of ours, for the units that are shown in another."""
    return TO_METRES if unit == "metres" else {}


class GoalView(CoachView):
    def goal(self, goal_id: UUID) -> Goal:
        goal = goals.visible_goals(self.member).filter(id=goal_id).first()
        if goal is None:
            raise not_found("No goal")
        return goal


class GoalDetail(GoalView):
    @extend_schema(
        operation_id="read_goal",
        summary="A goal, how it stands, and its history",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A goal", value=examples.GOAL, response_only=True)],
    )
    def get(self, request: Request, goal_id: UUID) -> Response:
        self.query(NoQuery, request)
        goal = self.goal(goal_id)
        found = goals.standing(self.history([goal.player_id]), goal, self.today)
        return Response(goal_json(found, self.club.distance_unit))


class CloseGoal(GoalView):
    @extend_schema(
        operation_id="close_goal",
        summary="Close a goal; its history stays",
        request=None,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Closed", value=examples.GOAL | {"state": "closed"}, response_only=True)],
    )
    def post(self, request: Request, goal_id: UUID) -> Response:
        self.query(NoQuery, request)
        goal = self.goal(goal_id)
        golf = self.history([goal.player_id])
        goals.close_goal(goal, golf, self.today)
        return Response(goal_json(goals.standing(golf, goal, self.today), self.club.distance_unit))


def goal_json(standing: GoalStanding, unit: str) -> dict[str, Any]:
    goal, spec, progress = standing.goal, standing.spec, standing.progress

    def shown(value: float | None) -> float | None:
        return in_shown_unit(value, spec.unit, unit)

    return {
        "id": goal.id,
        "player": player_json(goal.player),
        "figure": named(spec, unit),
        "target": shown(goal.target),
        "window": {"rounds": goal.window_rounds, "days": goal.window_days},
        "due_on": goal.due_on,
        "state": progress.state.value,
        "set_by": goal.set_by.name if goal.set_by else None,
        "set_at": goal.set_at,
        "closed_at": goal.closed_at,
        "value_at_start": shown(goal.value_at_start),
        "value_at_close": shown(goal.value_at_close),
        "note": goal.note,
        "progress": {
            "now": figure_of_spec(progress.now, spec, unit),
            "expected_rounds": progress.expected_rounds,
            "chance": chance_json(progress.chance),
            "words": standing.words,
        },
        "history": [{"day": point.day, "value": shown(point.value)} for point in standing.history],
    }
