"""Players side by side, a player against his earlier self, and a squad's leaders."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import StringConstraints, field_validator
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import Fault, invalid, not_found
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.clubs.models import Club, Member
from players import permissions
from players.api import coach_examples as examples
from players.api.coach_view import (
    KEYS,
    SINCE,
    CoachView,
    Keys,
    KeysQuery,
    figure_of_spec,
    named,
    pair_json,
    player_json,
    split_keys,
    unknown_figure,
)
from players.api.query_string import BENCHMARK, UNIT, WINDOW, FigureKey, WindowQuery
from players.api.strokes_view import golf_asked_for
from players.coaching.comparison import EarlierSelf, earlier_self, leaders, side_by_side
from players.models import Player, Squad
from players.queries.analysed import Golf

MOST_PLAYERS = 8


class CompareQuery(WindowQuery):
    players: Annotated[str, StringConstraints(max_length=400)]
    keys: Keys | None = None

    @field_validator("players")
    @classmethod
    def ids(cls, value: str) -> str:
        ids = [UUID(one.strip()) for one in value.split(",")]
        if not 2 <= len(set(ids)) == len(ids) <= MOST_PLAYERS:
            raise ValueError(f"name 2 to {MOST_PLAYERS} different players")
        return value

    def player_ids(self) -> list[UUID]:
        return [UUID(one.strip()) for one in self.players.split(",")]

    def key_list(self) -> list[str]:
        return split_keys(self.keys)


class ComparePlayers(CoachView):
    @extend_schema(
        operation_id="compare_players",
        summary="Players side by side on any figures, with how likely one is better than another",
        parameters=[
            OpenApiParameter(
                "players", OpenApiTypes.STR, required=True, description="ids with commas between"
            ),
            KEYS,
            *WINDOW,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Two players", value=examples.COMPARISON, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        query = self.query(CompareQuery, request)
        players = players_in_order(self.member, query.player_ids())
        golf = self.golf([player.id for player in players], query)
        figures = compared_json(golf, players, query.key_list(), self.unit_of(query))
        return Response(
            {
                "players": [player_json(player) for player in players],
                "benchmark": golf.benchmark.key,
                "figures": figures,
            }
        )


def players_in_order(member: Member, ids: list[UUID]) -> list[Player]:
    """In the order asked for; 404 if one of them does not exist for this person."""
    found = {player.id: player for player in permissions.visible_players(member).filter(id__in=ids)}
    if len(found) < len(ids):
        raise not_found("No such players")
    return [found[player_id] for player_id in ids]


def compared_json(golf: Golf, players: list[Player], keys: list[str], unit: str) -> list[dict[str, Any]]:
    """Each figure of every player, and each two of them compared."""
    try:
        found = side_by_side(golf, players, keys)
    except UnknownFigureError as error:
        raise unknown_figure(error) from None
    return [
        named(one.spec, unit)
        | {
            "values": [figure_of_spec(figure, one.spec, unit) for figure in one.figures],
            "pairs": [pair_json(pair, unit) for pair in one.pairs],
        }
        for one in found
    ]


class EarlierSelfQuery(KeysQuery):
    day: date


class PlayerEarlierSelf(CoachView):
    @extend_schema(
        operation_id="compare_with_earlier_self",
        summary="A player from a day on against himself before it",
        parameters=[
            OpenApiParameter("day", OpenApiTypes.DATE, required=True, description="the later period begins"),
            KEYS,
            SINCE,
            BENCHMARK,
            UNIT,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Since May", value=examples.EARLIER_SELF, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = self.query(EarlierSelfQuery, request)
        player = self.visible_player(player_id)
        golf = self.history([player_id], query.benchmark, query.since)
        try:
            found = earlier_self(golf, player_id, query.key_list(), query.day, self.today)
        except UnknownFigureError as error:
            raise unknown_figure(error) from None
        unit = self.unit_of(query)
        figures = [earlier_self_json(one, unit) for one in found]
        return Response({"player": player_json(player), "day": query.day, "figures": figures})


def earlier_self_json(one: EarlierSelf, unit: str) -> dict[str, Any]:
    return named(one.spec, unit) | {
        "before": figure_of_spec(one.before, one.spec, unit),
        "since": figure_of_spec(one.since, one.spec, unit),
        "comparison": pair_json(one.pair, unit),
    }


class LeadersQuery(WindowQuery):
    key: FigureKey


class SquadLeaders(CoachView):
    @extend_schema(
        operation_id="read_squad_leaders",
        summary="A squad by one figure, best first; players whom the rounds cannot tell apart share a rank",
        parameters=[OpenApiParameter("key", OpenApiTypes.STR, required=True), *WINDOW],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Leaders", value=examples.LEADERS, response_only=True)],
    )
    def get(self, request: Request, squad_id: UUID) -> Response:
        query = self.query(LeadersQuery, request)
        squad = permissions.visible_squads(self.member).filter(id=squad_id).first()
        if squad is None:
            raise not_found("No squad")
        return Response(leaders_json(squad, self.club, query, self.unit_of(query)))


def leaders_json(squad: Squad, club: Club, query: LeadersQuery, unit: str) -> dict[str, Any]:
    players = list(Player.objects.filter(squad_places__squad=squad).order_by("name", "id"))
    ids = [player.id for player in players]
    golf = golf_asked_for(ids, club, query)
    try:
        table = leaders(golf, ids, query.key)
    except UnknownFigureError as error:
        raise invalid([Fault("/key", "unknown_figure", str(error))], "No such figure") from None
    standings = [
        {
            "rank": one.rank,
            "tied": one.tied,
            "player": player_json(players[one.player]),
            "figure": figure_of_spec(one.figure, table.spec, unit),
        }
        for one in table.standings
    ]
    return {
        "squad": {"id": squad.id, "name": squad.name},
        "figure": named(table.spec, unit),
        "standings": standings,
    }
