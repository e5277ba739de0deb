"""Where a question about players begins."""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.api.problems import Fault, invalid, not_found
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.clubs.models import Member, Role
from golfstats.graphql.context import Info
from golfstats.graphql.paging import USUAL_PAGE, Connection, Page, page_of, page_of_list
from golfstats.graphql.rows import ClubType, row_of
from players import permissions
from players.api.attention import item_json
from players.api.people import club_line, player_line
from players.api.round_analysis import analysis_json
from players.api.strokes_view import caution, unknown_benchmark
from players.coaching.attention import USUAL_DAYS_WITHOUT_ROUND, PlayersItem, attention_list
from players.coaching.history import today_at
from players.graphql.coaching import AttentionItem
from players.graphql.people import BY_NAME, Player, Squad, squad_head
from players.graphql.rounds import NEWEST, Round, round_row_line
from players.queries import of_rounds
from players.queries.benchmarks import benchmark_choices, benchmark_for


@strawberry.type
class Club:
    slug: str
    name: str
    time_zone: str
    distance_unit: str
    short_game_yards: float
    approach_band_edges: list[float]
    benchmark: str
    handicap_rules: JSON


@strawberry.type
class Benchmark:
    key: str
    name: str
    description: str
    provenance: str
    caution: str
    shots: int | None
    fitted_on: dt.date | None


@strawberry.type(description="You, as a member of the club.")
class Me(ClubType):
    model = Member
    id: UUID
    name: str
    role: str

    @strawberry.field(graphql_type=Player | None, description="The player that you are yourself.")
    @staticmethod
    def player(info: Info) -> Any:
        mine = permissions.visible_players(info.context.member).filter(member=info.context.member).first()
        return None if mine is None else row_of(mine, player_line)


@strawberry.type
class PlayerQuery:
    @strawberry.field(graphql_type=Me)
    @staticmethod
    def me(info: Info) -> Any:
        return row_of(info.context.member, vars)

    @strawberry.field(graphql_type=Club)
    @staticmethod
    def club(info: Info) -> Any:
        return club_line(info.context.club)

    @strawberry.field(graphql_type=list[Benchmark], description="Whom one can be compared with.")
    @staticmethod
    def benchmarks() -> Any:
        return [asdict(choice) | {"caution": caution()} for choice in benchmark_choices()]

    @strawberry.field(graphql_type=Connection[Squad], description="Squads that you look after, by name.")
    @staticmethod
    def squads(info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        found = permissions.visible_squads(info.context.member)
        return page_of(found, BY_NAME, Page(first, after), squad_head)

    @strawberry.field(graphql_type=Squad | None)
    @staticmethod
    def squad(info: Info, id: UUID) -> Any:
        found = permissions.visible_squads(info.context.member).filter(id=id).first()
        if found is None:
            raise not_found("No squad")
        return row_of(found, squad_head)

    @strawberry.field(graphql_type=Connection[Player], description="Players that you may see, by name.")
    @staticmethod
    def players(info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        found = permissions.visible_players(info.context.member)
        return page_of(found, BY_NAME, Page(first, after), player_line)

    @strawberry.field(graphql_type=Player | None)
    @staticmethod
    def player(info: Info, id: UUID) -> Any:
        found = permissions.visible_players(info.context.member).filter(id=id).first()
        if found is None:
            raise not_found("No player")
        return row_of(found, player_line)

    @strawberry.field(graphql_type=Connection[Round], description="Rounds that you may see, newest first.")
    @staticmethod
    def rounds(
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        player: UUID | None = None,
        course: UUID | None = None,
        played_from: dt.date | None = None,
        played_to: dt.date | None = None,
        tee: UUID | None = None,
        counting: bool | None = None,  # noqa: FBT001 - an argument of the schema, always named
        analysis: str | None = None,
    ) -> Any:
        if analysis not in (None, "pending", "done", "failed"):
            raise invalid([Fault("/analysis", "not_a_state", "pending, done or failed")])
        asked = {
            "player_id": player,
            "tee_set__course_id": course,
            "played_on__gte": played_from,
            "played_on__lte": played_to,
            "tee_set_id": tee,
            "counting": counting,
            "analysis": analysis,
        }
        found = of_rounds.rounds_with_holes(info.context.member)
        found = found.filter(**{name: value for name, value in asked.items() if value is not None})
        return page_of(found, NEWEST, Page(first, after), round_row_line)

    @strawberry.field(graphql_type=Round | None)
    @staticmethod
    def round(info: Info, id: UUID) -> Any:
        found = of_rounds.rounds_with_holes(info.context.member).filter(id=id).first()
        if found is None:
            raise not_found("No round")
        return row_of(found, round_row_line)

    @strawberry.field(
        graphql_type=JSON | None,
        description="A round hole by hole and shot by shot: the very document of GET /api/v1/rounds/<id>/analysis.",
    )
    @staticmethod
    def round_analysis(info: Info, id: UUID, benchmark: str | None = None) -> Any:
        club = info.context.club
        found = of_rounds.rounds_with_holes(info.context.member).filter(id=id).first()
        if found is None:
            raise not_found("No round")
        key = benchmark or club.benchmark
        try:
            measure = benchmark_for(key)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None
        return analysis_json(found, club, key, measure, club.distance_unit)

    @strawberry.field(
        graphql_type=Connection[AttentionItem],
        description="What to look at in your squads, in a stable order (coaches and managers).",
    )
    @staticmethod
    def attention(
        info: Info,
        first: int = USUAL_PAGE,
        after: str | None = None,
        days_without_round: int = USUAL_DAYS_WITHOUT_ROUND,
        dismissed: bool = False,  # noqa: FBT001, FBT002 - an argument of the schema, always named
    ) -> Any:
        context = info.context
        permissions.require_role(context.member, Role.COACH, Role.MANAGER)
        if not 1 <= days_without_round <= 1000:
            raise invalid([Fault("/daysWithoutRound", "out_of_range", "from 1 to 1000 days")])
        found = attention_list(
            context.member,
            today_at(context.club),
            days_without_round=days_without_round,
            with_dismissed=dismissed,
        )
        page = page_of_list(found, _item_key, Page(first, after))
        for edge in page["edges"]:
            edge["node"] = item_json(edge["node"], context.club.distance_unit)
        return page


def _item_key(one: PlayersItem) -> str:
    return f"{one.player_id} {one.item.key}"
