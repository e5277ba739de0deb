"""A squad's table: strokes gained by part for each player."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

import numpy as np
from django.db.models import FilteredRelation, Q

from golfstats.calc import figure as calc
from golfstats.calc.a_round import figure_a_round
from golfstats.calc.figures import gained
from golfstats.calc.handicap import shown
from golfstats.calc.record import Floats, Ints
from golfstats.calc.strokes.parts import totals_by_round
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Part
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker
from players.figures.answers.rounds import WorkedOut, WorkedOutWord
from players.figures.answers.summary import GainedByPart
from players.golf.analysed import golf_of
from players.golf.answers import Benchmark, Figure, Teller, benchmark_of, figure
from players.golf.benchmarks import measure_of
from players.golf.questions import WindowQuery, unknown_benchmark
from players.golf.windows import rounds_in
from players.people.answers import Named
from players.people.models import Squad
from players.people.permissions import squad_places
from players.rounds.models import Round

COLUMNS = ("total", *(part.word for part in Part))


@dataclass(frozen=True)
class SquadTableRow:
    """One player of a squad."""

    player: Named
    handicap_index: str | None
    """As golfers write it: ``+2`` is better than scratch. Unofficial."""
    rounds: int
    """Rounds with strokes gained."""
    strokes_gained: GainedByPart


@dataclass(frozen=True)
class SquadTable:
    """Strokes gained a round by part for each player of a squad."""

    squad: Named
    benchmark: Benchmark
    source: WorkedOutWord
    """Whether the worker stored the figures or they were computed for this answer."""
    rounds_waiting: int
    """Rounds of the window that the worker has still to measure against this benchmark."""
    players: list[SquadTableRow] = up_to(30)
    """By name."""


@dataclass(frozen=True)
class _Rounds:
    """Sums of some rounds: one row a round, one column of :data:`COLUMNS`, and the holes covered."""

    sums: Floats
    holes: Ints


_NOTHING = _Rounds(np.zeros((0, len(COLUMNS))), np.zeros(0, dtype=np.int64))


def squad_table(asker: Asker, squads: Sequence[Squad], query: WindowQuery) -> list[SquadTable]:
    """The players of each squad against a benchmark: the club's own, or the one asked for."""
    places: dict[UUID, list[tuple[Named, Decimal | None]]] = defaultdict(list)
    rows = squad_places(asker.member).filter(squad__in=squads).order_by("player__name", "player_id")
    columns = ("squad_id", "player_id", "player__name", "player__handicaps__index")
    for squad_id, player_id, name, index in rows.values_list(*columns):
        places[squad_id].append((Named(player_id, name), index))
    everybody = list({player.id for own in places.values() for player, _ in own})
    try:
        benchmark = benchmark_of(measure_of(query.benchmark or asker.club.benchmark, everybody))
    except UnknownBenchmarkError as error:
        raise unknown_benchmark(error) from None
    stored = query.benchmark in (None, asker.club.benchmark)
    rounds, waiting = (_stored if stored else _computed)(everybody, asker, query)
    unit = query.shown_unit(asker)
    return [
        SquadTable(
            Named(squad.id, squad.name),
            benchmark,
            WorkedOut.STORED if stored else WorkedOut.NOW,
            sum(waiting[player.id] for player, _ in places[squad.id]),
            [
                _row(player, index, rounds.get(player.id, _NOTHING), Teller(player.id, query, unit))
                for player, index in places[squad.id]
            ],
        )
        for squad in squads
    ]


def average(figures: Sequence[Figure]) -> Figure | None:
    """The mean of figures of as many players, whose golf is taken as independent; None where none is known."""
    known = [one for one in figures if one.value is not None and one.low is not None and one.high is not None]
    if not known:
        return None
    value, low, high = (np.array([getattr(one, end) for one in known]) for end in ("value", "low", "high"))
    return figure(calc.mean_of_figures(value, low, high, known[0].unit), of="player", signed=True)


def _stored(
    players: Sequence[UUID], asker: Asker, query: WindowQuery
) -> tuple[dict[UUID, _Rounds], dict[UUID, int]]:
    """The stored sums of each player, and how many rounds have none yet."""
    own = FilteredRelation("figures", condition=Q(figures__benchmark=asker.club.benchmark))
    rounds = Round.objects.filter(id__in=rounds_in(players, query.window())).annotate(own=own)
    by_player: dict[UUID, list[tuple[int, list[float]]]] = defaultdict(list)
    waiting: dict[UUID, int] = defaultdict(int)
    columns = [f"own__{name}" for name in COLUMNS]
    for player, holes, *sums in rounds.values_list("player_id", "own__holes_covered", *columns):
        if holes is None:
            waiting[player] += 1
        elif holes:
            by_player[player].append((holes, sums))
    stored = {
        player: _Rounds(
            np.array([sums for _, sums in rows], dtype=np.float64),
            np.array([holes for holes, _ in rows], dtype=np.int64),
        )
        for player, rows in by_player.items()
    }
    return stored, waiting


def _computed(
    players: Sequence[UUID], asker: Asker, query: WindowQuery
) -> tuple[dict[UUID, _Rounds], dict[UUID, int]]:
    golf = golf_of(players, asker.club, query.benchmark, query.window())
    totals = totals_by_round(golf.analysed.record, golf.analysed.strokes_gained, golf.analysed.part)
    sums = np.column_stack([totals.total, totals.gained])
    covered = totals.holes > 0
    mine = {player: golf.rounds_of([player]) & covered for player in golf.loaded.players}
    return {player: _Rounds(sums[rows], totals.holes[rows]) for player, rows in mine.items()}, defaultdict(
        int
    )


def _row(player: Named, index: Decimal | None, rounds: _Rounds, tell: Teller) -> SquadTableRow:
    gains = [
        tell.named(spec, figure_a_round(rounds.sums[:, column], rounds.holes, Unit.STROKES))
        for column, spec in enumerate(gained.SPECS)
    ]
    written = None if index is None else shown(index)
    return SquadTableRow(player, written, len(rounds.holes), GainedByPart(*gains))
