"""Where a member begins, by role; a player's page; squads."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.safestring import SafeString

from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.clubs.models import Role
from golfstats.web.base import ClubPage
from golfstats.web.charts import Span, interval_svg
from golfstats.web.pages.dashboard import FIGURE_OPTIONS, PARTS, benchmark_options, dashboard, window_query
from golfstats.web.shown import ShownFigure, index_words, shown
from players import permissions
from players.api.comparison import MOST_PLAYERS
from players.api.query_string import WindowQuery
from players.api.strokes_view import unknown_benchmark
from players.coaching.attention import attention_list
from players.models import Player, Squad
from players.queries.squads import COLUMNS, SquadRow, squad_table


class ClubStart(ClubPage):
    """The page of a member's own role."""

    def get(self, request: HttpRequest) -> HttpResponse:
        if self.member.role == Role.GREENKEEPER:
            return redirect(self.address("greens-page"))
        if self.member.role in {Role.COACH, Role.MANAGER}:
            return self._coach()
        player = Player.objects.filter(member=self.member).first()
        if player is None:
            return self.page("no_player", {})
        return self.page("player", dashboard(self, request, player))

    def _coach(self) -> HttpResponse:
        squads = list(permissions.visible_squads(self.member).order_by("name", "id"))
        context = {
            "attention": attention_list(self.member, self.today),
            "tables": [squad_lines(self, squad, WindowQuery()) for squad in squads],
            "parts": PARTS,
        }
        return self.page("coach", context)


class PlayerPage(ClubPage):
    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        return self.page("player", dashboard(self, request, self.visible_player(player_id)))


class Players(ClubPage):
    """Everybody whose golf the member may read, and the choice of whom to compare."""

    def get(self, request: HttpRequest) -> HttpResponse:
        players = permissions.visible_players(self.member).order_by("name", "id")
        return self.page("players", {"players": players, "most": MOST_PLAYERS, "figures": FIGURE_OPTIONS})


class SquadPage(ClubPage):
    def get(self, request: HttpRequest, squad_id: UUID) -> HttpResponse:
        squad = permissions.visible_squads(self.member).filter(id=squad_id).first()
        if squad is None:
            raise Http404
        query = window_query(request)
        chosen = query.benchmark or self.club.benchmark
        context = {
            "table": squad_lines(self, squad, query),
            "parts": PARTS,
            "benchmarks": benchmark_options(chosen),
            "chosen": chosen,
            "last": query.window().last,
        }
        return self.page("squad", context)


@dataclass(frozen=True)
class Cell:
    shown: ShownFigure
    drawing: SafeString
    """Empty for the whole, which is on another scale than its parts."""


@dataclass(frozen=True)
class SquadLine:
    player: Player
    index: str
    rounds: int
    cells: list[Cell]
    """In all, then by part."""


@dataclass(frozen=True)
class SquadLines:
    squad: Squad
    benchmark: str
    lines: list[SquadLine]


def squad_lines(page: ClubPage, squad: Squad, query: WindowQuery) -> SquadLines:
    try:
        table = squad_table(squad, page.club, query.benchmark, query.window())
    except UnknownBenchmark as error:
        raise unknown_benchmark(error) from None
    span = Span.of(row.figures[name] for row in table.rows for name in COLUMNS[1:])
    lines = [_line(row, page.club.distance_unit, span) for row in table.rows]
    return SquadLines(squad, table.benchmark.name, lines)


def _line(row: SquadRow, unit: str, span: Span) -> SquadLine:
    cells = [
        Cell(
            shown(row.figures[name], unit=unit, of="hole", signed=True),
            SafeString("") if name == "total" else interval_svg(row.figures[name], span),
        )
        for name in COLUMNS
    ]
    return SquadLine(row.player, index_words(row.handicap_index), row.rounds, cells)
