"""A squad's table of strokes gained."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import not_found
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.clubs.models import Club
from players import permissions
from players.api import strokes_examples as examples
from players.api.figures import figure_json
from players.api.query_string import WINDOW, WindowQuery, checked_query
from players.api.strokes_view import FigureWriter, StrokesView, benchmark_json, unknown_benchmark
from players.models import Squad
from players.queries.squads import SquadRow, squad_table


class SquadTableDetail(StrokesView):
    @extend_schema(
        operation_id="read_squad_table",
        summary="Strokes gained a round by part for each player of a squad, by name",
        description=(
            "`last` counts for each player by himself; n counts holes with every shot recorded. Against the "
            "club's own benchmark these are stored figures, and `rounds_waiting` rounds are not in them yet."
        ),
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A squad", value=examples.SQUAD_TABLE, response_only=True)],
    )
    def get(self, request: Request, squad_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        squad = permissions.visible_squads(self.member).filter(id=squad_id).first()
        if squad is None:
            raise not_found("No squad")
        return Response(squad_table_json(squad, self.club, query, self.unit_of(query)))


def squad_table_json(squad: Squad, club: Club, query: WindowQuery, unit: str) -> dict[str, Any]:
    try:
        table = squad_table(squad, club, query.benchmark, query.window())
    except UnknownBenchmark as error:
        raise unknown_benchmark(error) from None
    return {
        "squad": {"id": squad.id, "name": squad.name},
        "benchmark": benchmark_json(table.benchmark),
        "source": "stored by the worker" if table.stored else "computed for this answer",
        "rounds_waiting": table.waiting,
        "players": [_row_json(row, query, unit) for row in table.rows],
    }


def _row_json(row: SquadRow, query: WindowQuery, unit: str) -> dict[str, Any]:
    write = FigureWriter(row.player, query, unit)
    return {
        "player": {"id": row.player.id, "name": row.player.name},
        "handicap_index": row.handicap_index,
        "rounds": row.rounds,
        "strokes_gained": {
            name: figure_json(
                figure, unit=unit, of="hole", signed=True, shots=write.shots_address(f"gained.{name}")
            )
            for name, figure in row.figures.items()
        },
    }
