"""Was it the greens: of a round, of a player's rounds, of a squad's, and what disturbed greens cost here at all."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import Field
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import not_found
from golfstats.api.views import ClubView
from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.effect import GreensEffect
from golfstats.calc.greens.work_types import work_types
from players import permissions, queries
from players.api import condition_examples as examples
from players.api.figures import figure_json
from players.api.query_string import NoQuery, checked_query
from players.conditions import queries as conditions
from players.conditions.effect import ClubEffect, stored_effect
from players.conditions.queries import AdjustedWindow, RoundCondition
from players.models import Player, Squad
from players.queries.windows import USUAL_ROUNDS, RoundWindow

DAYS_AFTER = (0, 7, 14, 21, 28)
LAST = OpenApiParameter(
    "last", OpenApiTypes.INT, description=f"the last so many rounds; {USUAL_ROUNDS} if left out"
)
WHAT_ADJUSTED_MEANS = (
    "`raw` is putting strokes gained, `owed` the part that the disturbed surface accounts for (positive costs), "
    "by what it costs this club's usual member from the same distances; `adjusted` = `raw` + `owed`. "
    "Raw is never replaced."
)


class LastQuery(NoQuery):
    last: int = Field(USUAL_ROUNDS, ge=1, le=200)


class RoundConditionDetail(ClubView):
    @extend_schema(
        operation_id="read_round_condition",
        summary="Was it me or the greens: a round's condition note, and its putting with and without the surface",
        description=WHAT_ADJUSTED_MEANS,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A round", value=examples.ROUND_CONDITION)],
    )
    def get(self, request: Request, round_id: UUID) -> Response:
        checked_query(NoQuery, request)
        round_ = queries.rounds(self.member).prefetch_related(None).filter(id=round_id).first()
        condition = None if round_ is None else conditions.round_condition(round_id)
        if round_ is None or condition is None:
            raise not_found("No round")
        return Response({"round": queries.round_head(round_)} | condition_json(condition))


class PlayerConditionAdjusted(ClubView):
    @extend_schema(
        operation_id="read_condition_adjusted",
        summary="A player's putting over his last rounds, with and without what the surface accounts for",
        description=WHAT_ADJUSTED_MEANS,
        parameters=[LAST],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A player", value=examples.PLAYER_ADJUSTED)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(LastQuery, request)
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise not_found("No player")
        window = conditions.adjusted_windows([player.id], RoundWindow(query.last))[player.id]
        rounds = [_round_line(one) for one in reversed(window.rounds)]
        return Response(window_json(player, window) | {"rounds": rounds})


class SquadConditionAdjusted(ClubView):
    @extend_schema(
        operation_id="read_squad_condition_adjusted",
        summary="Putting of each player of a squad, with and without what the surface accounts for",
        description=WHAT_ADJUSTED_MEANS,
        parameters=[LAST],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A squad", value=examples.SQUAD_ADJUSTED)],
    )
    def get(self, request: Request, squad_id: UUID) -> Response:
        query = checked_query(LastQuery, request)
        squad = permissions.visible_squads(self.member).filter(id=squad_id).first()
        if squad is None:
            raise not_found("No squad")
        return Response(squad_adjusted_json(squad, query.last))


def squad_adjusted_json(squad: Squad, last: int) -> dict[str, Any]:
    players = list(Player.objects.filter(squad_places__squad=squad).order_by("name", "id"))
    windows = conditions.adjusted_windows([player.id for player in players], RoundWindow(last))
    return {
        "squad": {"id": squad.id, "name": squad.name},
        "players": [window_json(player, windows[player.id]) for player in players],
    }


class ConditionEffectDetail(ClubView):
    @extend_schema(
        operation_id="read_condition_effect",
        summary="What disturbed greens cost the members here: strokes a round by days since, for each kind of work",
        description=(
            "By this club's own putts. Half of the prior weight is on no effect at all; `chance_of_any_effect` says "
            "what the putts made of it, and an effect is claimed from 0.9 on. Too few rounds on disturbed greens "
            "are said to be too few. Kinds without enough rounds of their own are told by those after all work."
        ),
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("An effect", value=examples.CONDITION_EFFECT)],
    )
    def get(self, request: Request) -> Response:
        checked_query(NoQuery, request)
        return Response(condition_effect_json(stored_effect()))


def condition_effect_json(effect: ClubEffect) -> dict[str, Any]:
    kinds = []
    for kind in effect.kinds:
        of_kind, own = conditions.effect_of(effect, kind)
        kinds.append(
            {
                "kind": kind,
                "words": work_types()[kind].words,
                "by": "its own putts" if own else "all work",
            }
            | _effect_json(of_kind)
            | {
                "recovery_days": figure_json(of_kind.recovery_days(kind), of="round"),
                "strokes_a_round": [
                    {"days_after": days, "strokes": _strokes(of_kind.strokes_after(days, kind))}
                    for days in DAYS_AFTER
                ],
            }
        )
    return (
        {"fitted_at": effect.fitted_at, "putts": effect.greens.putts}
        | _effect_json(effect.greens)
        | {"at_full_disturbance": _strokes(effect.greens.strokes_per_round(1.0)), "kinds": kinds}
    )


class ContextEffects(ClubView):
    @extend_schema(
        operation_id="read_context_effects",
        summary="What else moves a round here: first visits, breaks, wind, cold, time of day, competition",
        description=(
            "Strokes a round that one unit of each costs (positive) or saves (negative), all in one shrunk model over "
            "the club's rounds, without what the greens account for; n counts rounds that speak for it."
        ),
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Contexts", value=examples.CONTEXT_EFFECTS)],
    )
    def get(self, request: Request) -> Response:
        checked_query(NoQuery, request)
        return Response(context_effects_json(stored_effect()))


def context_effects_json(effect: ClubEffect) -> dict[str, Any]:
    return {
        "fitted_at": effect.fitted_at,
        "results": [
            {"key": context.key, "words": context.words, "strokes": _strokes(context.strokes)}
            for context in effect.contexts
        ],
    }


def condition_json(condition: RoundCondition) -> dict[str, Any]:
    """A round's condition: the note, the surface, and its putting three ways."""
    surface = condition.surface
    return {
        "note": condition.note,
        "disturbance": round(surface.disturbance, 3),
        "temporary_greens": surface.temporary,
        "work": [
            {
                "id": row.id,
                "kind": row.kind,
                "words": work_types()[row.kind].words,
                "days_before": max((surface.played_on - row.ends_on).days, 0),
                "holes": row.holes,
            }
            for row in surface.felt
        ],
        "putting": None if condition.putting is None else putting_json(condition.putting),
    }


def window_json(player: Player, window: AdjustedWindow) -> dict[str, Any]:
    """A player's putting over a window three ways."""
    return {
        "player": {"id": player.id, "name": player.name},
        "window": {"rounds": len(window.rounds), "left_out": window.left_out},
        "putting": putting_json(window.putting),
    }


def putting_json(putting: AdjustedPutting) -> dict[str, Any]:
    return {
        "raw": figure_json(putting.raw, of="round", signed=True),
        "owed": figure_json(putting.owed, of="round"),
        "adjusted": figure_json(putting.adjusted, of="round", signed=True),
    }


def _round_line(condition: RoundCondition) -> dict[str, Any]:
    surface = condition.surface
    return {
        "id": surface.round_id,
        "played_on": surface.played_on,
        "course": surface.course_id,
        "note": condition.note,
        "disturbance": round(surface.disturbance, 3),
        "temporary_greens": surface.temporary,
        "putting": None if condition.putting is None else putting_json(condition.putting),
    }


def _effect_json(effect: GreensEffect) -> dict[str, Any]:
    return {
        "rounds": effect.rounds,
        "days": effect.days,
        "enough": effect.enough,
        "chance_of_any_effect": round(effect.probability, 3) if effect.enough else None,
        "claimed": effect.enough and effect.claimed,
    }


def _strokes(figure: Figure) -> dict[str, Any]:
    return figure_json(figure, of="round", signed=True)
