"""Trials of a ball, a club, a shaft, a routine."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import StringConstraints, model_validator
from rest_framework.request import Request
from rest_framework.response import Response

from players.api import coach_examples as examples
from players.api.coach_view import SINCE, CoachView, difference_json, player_json
from players.api.figures import figure_json
from players.api.query_string import BENCHMARK, UNIT, StrokesQuery
from players.coaching.trials import Outcome, TagKind, Trial, trial
from players.models import Player
from players.queries.analysed import Golf

Tag = Annotated[str, StringConstraints(min_length=1, max_length=60)]


class TrialQuery(StrokesQuery):
    tag: TagKind
    a: Tag
    b: Tag
    outcome: Outcome
    club: Annotated[str, StringConstraints(min_length=1, max_length=20)] | None = None
    since: date | None = None

    @model_validator(mode="after")
    def two_tags(self) -> TrialQuery:
        if self.a.casefold() == self.b.casefold():
            raise ValueError("a and b are the same")
        return self


class PlayerTrial(CoachView):
    @extend_schema(
        operation_id="run_player_trial",
        summary="Is A better than B? Adjusted for distance and lie, tested by permutation",
        description=(
            "A trial that cannot tell says so, and how many more shots would be needed. The permutations "
            "have a fixed seed: the same request gives the same answer."
        ),
        parameters=[
            OpenApiParameter(
                "tag",
                OpenApiTypes.STR,
                required=True,
                enum=[kind.value for kind in TagKind],
                description="what A and B are: the round's ball, the club used, a tag of rounds, or one of shots",
            ),
            OpenApiParameter("a", OpenApiTypes.STR, required=True),
            OpenApiParameter("b", OpenApiTypes.STR, required=True),
            OpenApiParameter(
                "outcome", OpenApiTypes.STR, required=True, enum=[outcome.value for outcome in Outcome]
            ),
            OpenApiParameter("club", OpenApiTypes.STR, description="only shots with this club"),
            SINCE,
            BENCHMARK,
            UNIT,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Two shafts", value=examples.TRIAL, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = self.query(TrialQuery, request)
        player = self.visible_player(player_id)
        golf = self.history([player_id], query.benchmark, query.since)
        return Response(trial_json(player, golf, query, self.unit_of(query)))


def trial_json(player: Player, golf: Golf, query: TrialQuery, unit: str) -> dict[str, Any]:
    """The trial of the query over the player's shots in ``golf``."""
    result = trial(golf, Trial(player.id, query.tag, query.a, query.b, query.outcome, query.club))
    signed = query.outcome is Outcome.STROKES_GAINED
    return {
        "player": player_json(player),
        "tag": query.tag,
        "a": query.a,
        "b": query.b,
        "outcome": query.outcome,
        "club": query.club,
        "first": figure_json(result.first, unit=unit, of="shot", signed=signed),
        "second": figure_json(result.second, unit=unit, of="shot", signed=signed),
        "difference": difference_json(result.difference, unit, of="shot"),
        "p_value": result.p_value,
        "unit_of_trial": result.unit_of_trial,
        "verdict": result.verdict.value,
        "more_shots": result.more_shots,
        "words": result.words(query.a, query.b),
    }
