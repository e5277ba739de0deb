"""Players beside each other, a player beside his earlier self, and a squad's tables."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import strawberry

from golfstats.api import bodies
from golfstats.api.problems import not_found
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.graphql.context import Info
from players import models, permissions
from players.api.coach_view import KeysQuery, player_json
from players.api.comparison import (
    CompareQuery,
    LeadersQuery,
    compared_json,
    leaders_json,
    players_in_order,
)
from players.api.conditions import LastQuery, squad_adjusted_json
from players.api.long_game import misses_json
from players.api.priorities import PrioritiesQuery, priorities_json
from players.api.squad_table import squad_table_json
from players.api.strokes_view import golf_asked_for, unknown_benchmark
from players.coaching.history import DASHBOARD_FIGURES, history_of
from players.graphql.coaching import PlayerPriorities
from players.graphql.documents import PlayerMisses, UsedBenchmark
from players.graphql.figures import AdjustedPutting, Figure, FigureName, Pair
from players.graphql.rounds import Named
from players.graphql.window import Window, asked, window_query


@strawberry.type
class ComparedFigure(FigureName):
    values: list[Figure] = strawberry.field(description="In the order of the players.")
    pairs: list[Pair] = strawberry.field(description="Each two of the players.")


@strawberry.type
class Comparison:
    players: list[Named]
    benchmark: str

    @strawberry.field(
        graphql_type=list[ComparedFigure], description="Strokes gained in all and by part without keys."
    )
    @staticmethod
    def figures(
        comparison: strawberry.Parent[dict[str, Any]], info: Info, keys: list[str] | None = None
    ) -> Any:
        unit = info.context.club.distance_unit
        return compared_json(comparison["golf"], comparison["compared"], checked_keys(keys), unit)


@strawberry.type(description="A figure before a day and from it on.")
class EarlierSelf(FigureName):
    before: Figure
    since: Figure
    comparison: Pair


@strawberry.type
class GainedByPart:
    total: Figure
    tee: Figure
    approach: Figure
    short_game: Figure
    putting: Figure


@strawberry.type
class SquadTableRow:
    player: Named
    handicap_index: str | None
    rounds: int
    strokes_gained: GainedByPart


@strawberry.type(description="Strokes gained a round by part for each player, by name.")
class SquadTable:
    squad: Named
    benchmark: UsedBenchmark
    source: str
    rounds_waiting: int = strawberry.field(description="Rounds that the worker has still to measure.")
    players: list[SquadTableRow]


@strawberry.type
class Standing:
    rank: int | None = strawberry.field(description="Null with too few observations.")
    tied: bool = strawberry.field(description="The rounds cannot tell him from another of this rank.")
    player: Named
    figure: Figure


@strawberry.type(description="A squad by one figure, best first.")
class SquadLeaders:
    squad: Named
    figure: FigureName
    standings: list[Standing]


@strawberry.type
class WindowOfRounds:
    rounds: int
    left_out: int


@strawberry.type
class PlayersAdjustedPutting:
    player: Named
    window: WindowOfRounds
    putting: AdjustedPutting


@strawberry.type(description="Putting with and without the greens' state.")
class SquadConditionAdjusted:
    squad: Named
    players: list[PlayersAdjustedPutting]


@strawberry.type
class ComparingQuery:
    @strawberry.field(graphql_type=Comparison | None, description="2 to 8 players side by side.")
    @staticmethod
    def compare(info: Info, players: list[UUID], window: Window | None = None) -> Any:
        query = asked(CompareQuery, window, players=",".join(str(one) for one in players))
        found = players_in_order(info.context.member, query.player_ids())
        golf = golf_asked_for([player.id for player in found], info.context.club, query)
        return {
            "players": [player_json(player) for player in found],
            "benchmark": golf.benchmark.key,
            "golf": golf,
            "compared": found,
        }

    @strawberry.field(graphql_type=SquadTable | None)
    @staticmethod
    def squad_table(info: Info, id: UUID, window: Window | None = None) -> Any:
        club = info.context.club
        return squad_table_json(_squad(info, id), club, window_query(window), club.distance_unit)

    @strawberry.field(graphql_type=SquadLeaders | None)
    @staticmethod
    def squad_leaders(info: Info, id: UUID, key: str, window: Window | None = None) -> Any:
        club = info.context.club
        squad = _squad(info, id)
        return leaders_json(squad, club, asked(LeadersQuery, window, key=key), club.distance_unit)

    @strawberry.field(graphql_type=SquadConditionAdjusted | None)
    @staticmethod
    def squad_condition_adjusted(info: Info, id: UUID, last: int = 20) -> Any:
        squad = _squad(info, id)
        return squad_adjusted_json(squad, bodies.checked(LastQuery, {"last": last}).last)

    @strawberry.field(
        graphql_type=PlayerMisses | None,
        description="What a player's missed greens and fairways cost, beside the benchmark golfer and his squads.",
    )
    @staticmethod
    def player_misses(info: Info, id: UUID, window: Window | None = None) -> Any:
        club = info.context.club
        return misses_json(_player(info, id), club, window_query(window), club.distance_unit)

    @strawberry.field(
        graphql_type=PlayerPriorities | None,
        description=(
            "What a player should work on, against a benchmark, or with the target as the golfer to become; "
            "effects of closing a share of the gap for the first few."
        ),
    )
    @staticmethod
    def player_priorities(
        info: Info,
        id: UUID,
        benchmark: str | None = None,
        target: str | None = None,
        share: float | None = None,
        rounds: int | None = None,
        effects: int | None = None,
    ) -> Any:
        player = _player(info, id)
        query = asked(
            PrioritiesQuery, benchmark=benchmark, target=target, share=share, last=rounds, effects=effects
        )
        try:
            golf = history_of([id], info.context.club, query.target or query.benchmark)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None
        return priorities_json(player, golf, query)


def checked_keys(keys: list[str] | None) -> list[str]:
    """As many keys as REST takes; those of the dashboard if none are given."""
    bodies.checked(KeysQuery, {"keys": ",".join(keys or ())})
    return list(DASHBOARD_FIGURES) if keys is None else keys


def _player(info: Info, player_id: UUID) -> models.Player:
    found = permissions.visible_players(info.context.member).filter(id=player_id).first()
    if found is None:
        raise not_found("No player")
    return found


def _squad(info: Info, squad_id: UUID) -> models.Squad:
    found = permissions.visible_squads(info.context.member).filter(id=squad_id).first()
    if found is None:
        raise not_found("No squad")
    return found
