"""How a player's figures move."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import Fault, invalid
from golfstats.calc.figures.catalogue import UnknownFigureError
from players.api import coach_examples as examples
from players.api.coach_view import (
    KEYS,
    SINCE,
    CoachView,
    KeysQuery,
    chance_json,
    difference_json,
    figure_of_spec,
    named,
    player_json,
    unknown_figure,
)
from players.api.figures import in_shown_unit
from players.api.query_string import BENCHMARK, UNIT
from players.coaching.trends import LevelShift, PlayerTrend, trends


class TrendsQuery(KeysQuery):
    compare_to: date | None = None


class PlayerTrends(CoachView):
    @extend_schema(
        operation_id="read_player_trends",
        summary="Figures over time: the level by round and now with its 90% band, and whether it changed",
        parameters=[
            KEYS,
            SINCE,
            OpenApiParameter(
                "compare_to", OpenApiTypes.DATE, description="an earlier day; three months ago if left out"
            ),
            BENCHMARK,
            UNIT,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Trends", value=examples.TRENDS, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = self.query(TrendsQuery, request)
        player = self.visible_player(player_id)
        if query.compare_to is not None and query.compare_to >= self.today:
            raise invalid([Fault("/compare_to", "not_earlier", "compare_to is a day before today")])
        golf = self.history([player_id], query.benchmark, query.since)
        try:
            found = trends(golf, player_id, query.key_list(), self.today, query.compare_to)
        except UnknownFigureError as error:
            raise unknown_figure(error) from None
        unit = self.unit_of(query)
        body = {"player": player_json(player), "today": self.today, "benchmark": golf.benchmark.key}
        return Response(body | {"trends": [trend_json(trend, unit) for trend in found]})


def trend_json(trend: PlayerTrend, unit: str) -> dict[str, Any]:
    spec = trend.spec

    def shown(value: float | None) -> float | None:
        return in_shown_unit(value, spec.unit, unit)

    return named(spec, unit) | {
        "now": figure_of_spec(trend.now, spec, unit, of="round"),
        "compared_with": {
            "day": trend.change.day,
            "change": difference_json(trend.change.change, unit, of="round"),
            "chance_better": chance_json(trend.change.chance_better),
            "words": trend.change.words,
        },
        "level_shift": None if trend.shift is None else shift_json(trend.shift, unit),
        "rounds": [
            {
                "round": one.round_id,
                "played_on": one.played_on,
                "value": shown(one.value),
                "n": one.n,
                "level": shown(one.level),
                "low": shown(one.low),
                "high": shown(one.high),
            }
            for one in trend.rounds
        ],
    }


def shift_json(shift: LevelShift, unit: str) -> dict[str, Any]:
    return {
        "day": shift.day,
        "size": difference_json(shift.size, unit, of="round"),
        "better": shift.better,
        "words": shift.words,
    }
