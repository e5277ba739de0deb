"""A squad's table: strokes gained by part for each player."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

import numpy as np

from golfstats.calc.figure import Figure, clustered_mean_figure
from golfstats.calc.figures.scoring import ROUND
from golfstats.calc.handicap import shown
from golfstats.calc.record import Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.parts import totals_by_round
from golfstats.calc.vocabulary import Part
from golfstats.clubs.models import Club
from players.models import Player, PlayerHandicap, RoundFigures, Squad
from players.queries.analysed import golf_of
from players.queries.benchmarks import benchmark_for
from players.queries.windows import RoundWindow, rounds_in

COLUMNS = ("total", *(part.word for part in Part))


@dataclass(frozen=True)
class SquadRow:
    player: Player
    handicap_index: str | None
    """As golfers write it: ``+2`` is better than scratch."""
    rounds: int
    """Rounds with strokes gained."""
    figures: dict[str, Figure]
    """Strokes gained a round in all and by part; ``n`` counts holes."""


@dataclass(frozen=True)
class SquadTable:
    benchmark: Benchmark
    stored: bool
    """Read from the figures that the worker stored, not computed for this answer."""
    waiting: int
    """Rounds of the window that the worker has still to measure against this benchmark."""
    rows: list[SquadRow]
    """By name."""


@dataclass(frozen=True)
class _Rounds:
    """Sums of some rounds: one row a round, one column of :data:`COLUMNS`, and the holes covered."""

    sums: Floats
    holes: Ints


def squad_table(squad: Squad, club: Club, key: str | None, window: RoundWindow) -> SquadTable:
    """The squad's players against a benchmark (the club's own if None). Raises ``UnknownBenchmark``."""
    benchmark = benchmark_for(key or club.benchmark)
    players = list(Player.objects.filter(squad_places__squad=squad).order_by("name", "id"))
    ids = [player.id for player in players]
    stored = key is None or key == club.benchmark
    rounds, waiting = _stored(ids, club, window) if stored else (_computed(ids, club, key, window), 0)
    indexes = dict(PlayerHandicap.objects.filter(player__in=ids).values_list("player_id", "index"))
    nothing = _Rounds(np.zeros((0, len(COLUMNS))), np.zeros(0, dtype=np.int64))
    return SquadTable(
        benchmark,
        stored,
        waiting,
        [_row(player, indexes.get(player.id), rounds.get(player.id, nothing)) for player in players],
    )


def _stored(players: Sequence[UUID], club: Club, window: RoundWindow) -> tuple[dict[UUID, _Rounds], int]:
    """The stored sums of each player, and how many rounds have none yet."""
    wanted = rounds_in(players, window)
    found = RoundFigures.objects.filter(round__in=wanted, benchmark=club.benchmark)
    rows = list(found.values_list("round__player_id", "holes_covered", *COLUMNS))
    by_player = defaultdict(list)
    for player_id, holes, *sums in rows:
        if holes:
            by_player[player_id].append((holes, sums))
    stored = {
        player_id: _Rounds(
            np.array([sums for _, sums in own], dtype=np.float64),
            np.array([holes for holes, _ in own], dtype=np.int64),
        )
        for player_id, own in by_player.items()
    }
    return stored, len(wanted) - len(rows)


def _computed(
    players: Sequence[UUID], club: Club, key: str | None, window: RoundWindow
) -> dict[UUID, _Rounds]:
    golf = golf_of(players, club, key, window)
    totals = totals_by_round(golf.analysed.record, golf.analysed.strokes_gained, golf.analysed.part)
    sums = np.column_stack([totals.total, totals.gained])
    covered = totals.holes > 0
    mine = {player: golf.rounds_of([player]) & covered for player in golf.loaded.players}
    return {player: _Rounds(sums[rows], totals.holes[rows]) for player, rows in mine.items()}


def _row(player: Player, index: Decimal | None, rounds: _Rounds) -> SquadRow:
    figures = {
        name: gained_figure(rounds.sums[:, column], rounds.holes) for column, name in enumerate(COLUMNS)
    }
    written = None if index is None else shown(index)
    return SquadRow(player, written, len(rounds.holes), figures)


def gained_figure(sums: Floats, holes: Ints) -> Figure:
    """Strokes gained a round from the sums of whole rounds.

    The same figure as from the holes one by one: mean and variance over rounds know a round's holes only
    by their sum and number.
    """
    rounds = np.arange(len(holes))
    each_hole = np.repeat(ROUND * sums / np.maximum(holes, 1), holes)
    return clustered_mean_figure(each_hole, np.repeat(rounds, holes), "strokes", ROUND)
