"""What a player should work on."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import Field, StringConstraints, model_validator
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.calc.coaching.priorities import Effect
from players.api import coach_examples as examples
from players.api.coach_view import CoachView, chance_json, player_json
from players.api.figures import figure_json
from players.api.query_string import BENCHMARK, StrokesQuery
from players.coaching.index_replay import index_replay
from players.coaching.priorities import USUAL_EFFECTS, USUAL_ROUNDS, USUAL_SHARE, RankedGroup, priorities
from players.models import Player
from players.queries.analysed import Golf

MOST_EFFECTS = 3


class PrioritiesQuery(StrokesQuery):
    target: Annotated[str, StringConstraints(max_length=40)] | None = None
    share: float = Field(USUAL_SHARE, gt=0, le=1)
    last: int = Field(USUAL_ROUNDS, ge=5, le=200)
    effects: int = Field(USUAL_EFFECTS, ge=0, le=MOST_EFFECTS)

    @model_validator(mode="after")
    def one_golfer(self) -> PrioritiesQuery:
        if self.target and self.benchmark:
            raise ValueError("give either benchmark or target")
        return self


class PlayerPriorities(CoachView):
    @extend_schema(
        operation_id="read_player_priorities",
        summary="Strokes a round to gain by part and distance band, ranked by what is both large and certain",
        description=(
            "Ranked by the strokes a round that are three-in-four certain. For the first few, the effect of "
            "closing `share` of the gap on the score and on the handicap index comes from replaying the "
            "player's own rounds with a fixed seed; the same request gives the same answer."
        ),
        parameters=[
            BENCHMARK,
            OpenApiParameter(
                "target",
                OpenApiTypes.STR,
                description="instead of benchmark: handicap:2, the golfer to become",
            ),
            OpenApiParameter(
                "share",
                OpenApiTypes.FLOAT,
                description=f"of the gap that is closed; {USUAL_SHARE} if left out",
            ),
            OpenApiParameter(
                "last", OpenApiTypes.INT, description=f"so many rounds; {USUAL_ROUNDS} if left out"
            ),
            OpenApiParameter(
                "effects",
                OpenApiTypes.INT,
                description=f"for how many it is worked out; {USUAL_EFFECTS} if left out, at most {MOST_EFFECTS}",
            ),
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Priorities", value=examples.PRIORITIES, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = self.query(PrioritiesQuery, request)
        player = self.visible_player(player_id)
        golf = self.history([player_id], query.target or query.benchmark)
        return Response(priorities_json(player, golf, query))


def priorities_json(player: Player, golf: Golf, query: PrioritiesQuery) -> dict[str, Any]:
    """What to work on by every round of the player, which ``golf`` holds."""
    found = priorities(
        golf, index_replay(player.id, golf), share=query.share, rounds=query.last, effects=query.effects
    )
    return {
        "player": player_json(player),
        "benchmark": found.benchmark,
        "share": found.share,
        "rounds": found.rounds,
        "parts": [group_json(group) for group in found.parts],
        "bands": [group_json(group) for group in found.bands],
    }


def group_json(ranked: RankedGroup) -> dict[str, Any]:
    priority = ranked.priority
    return {
        "group": ranked.group.key,
        "rank": ranked.rank,
        "words": ranked.words,
        "shots_a_round": round(priority.shots_a_round, 2),
        "gap": figure_json(priority.gap, of="shot"),
        "to_gain": figure_json(priority.to_gain, of="shot"),
        "sure": None if priority.sure is None else round(priority.sure, 4),
        "chance": chance_json(priority.chance),
        "effect": None if ranked.effect is None else effect_json(ranked.effect),
    }


def effect_json(effect: Effect) -> dict[str, Any]:
    return {
        "share": effect.share,
        "fewer_strokes": figure_json(effect.fewer_strokes, of="shot"),
        "index_before": effect.index_before,
        "index_after": figure_json(effect.index_after, of="shot"),
    }
