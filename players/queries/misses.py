"""Missed greens and fairways beside those of the benchmark golfer and of the player's squad."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from uuid import UUID

import numpy as np

from golfstats.calc.figure import Figure, difference_figure
from golfstats.calc.figures.misses import TARGETS, Target, specs
from golfstats.calc.observations import AnalysedRecord, FigureSpec
from golfstats.calc.record import Record
from golfstats.calc.simulate.course import calibration_course
from golfstats.calc.simulate.golfer import ANCHORS, golfer_of_handicap
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_words
from golfstats.calc.strokes.parts import parts_of_shots
from golfstats.clubs.models import Club
from players.models import Player, SquadPlayer
from players.queries.analysed import Golf
from players.queries.benchmarks import handicap_of
from players.queries.figures import NamedFigure
from players.queries.windows import USUAL_ROUNDS, RoundWindow

SIMULATED_ROUNDS = 200
MINIMUM_SQUAD = 3
"""A squad's figures rest on at least so many others, so that nobody's own can be told from them."""


@dataclass(frozen=True)
class Compared:
    """A figure beside those of others, and the differences (mine minus theirs)."""

    named: NamedFigure
    benchmark_golfer: Figure
    versus_benchmark_golfer: Figure
    squad: Figure | None
    """None: too few others in the player's squads."""
    versus_squad: Figure | None


@dataclass(frozen=True)
class Misses:
    benchmark_golfer: str
    """Who the benchmark golfer is, in words."""
    squad_players: int
    targets: dict[Target, list[Compared]]


def squad_mates(player: Player) -> list[UUID]:
    """The other players of the squads that the player is in."""
    mates = SquadPlayer.objects.filter(squad__squad_players__player=player).exclude(player=player)
    return sorted(set(mates.values_list("player_id", flat=True)))


def mates_window(window: RoundWindow) -> RoundWindow:
    """The same window, but of nobody more than the usual number of last rounds: a squad is many players."""
    return window if window.last is None else RoundWindow(min(window.last, USUAL_ROUNDS))


def misses(golf: Golf, club: Club, mates: Golf) -> Misses:
    """The player's misses; ``mates`` holds the rounds of his squad mates."""
    squad = mates if len(mates.loaded.players) >= MINIMUM_SQUAD else None
    golfer = simulated_handicap(golf.benchmark.key)
    record = _simulated(golfer)
    shots = record.shots
    simulated = AnalysedRecord(
        record,
        strokes_gained(record, golf.benchmark),
        parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards),
    )
    return Misses(
        benchmark_golfer=_golfer_words(golf.benchmark.key, golfer),
        squad_players=len(squad.loaded.players) if squad else 0,
        targets={
            target: [_compared(golf, squad, spec, simulated) for spec in specs(target)] for target in TARGETS
        },
    )


def _compared(golf: Golf, others: Golf | None, spec: FigureSpec, simulated: AnalysedRecord) -> Compared:
    own = spec.figure(spec.observe(golf.analysed))
    squad = spec.figure(spec.observe(others.analysed)) if others else None
    benchmark = spec.figure(spec.observe(simulated))
    return Compared(
        named=NamedFigure(spec, own),
        benchmark_golfer=benchmark,
        versus_benchmark_golfer=difference_figure(own, benchmark),
        squad=squad,
        versus_squad=difference_figure(own, squad) if squad else None,
    )


def simulated_handicap(benchmark_key: str) -> float:
    """Handicap of the simulated golfer who stands for a benchmark: the nearest that the simulator knows."""
    handicap = handicap_of(benchmark_key)
    return float(np.clip(ANCHORS[0] if handicap is None else handicap, ANCHORS[0], ANCHORS[-1]))


def _golfer_words(benchmark_key: str, simulated: float) -> str:
    handicap = handicap_of(benchmark_key)
    words = (
        f"A simulated golfer of handicap {handicap_words(simulated)} over {SIMULATED_ROUNDS} rounds of an invented "
        "par-72 course; the simulator's spreads are assumptions, so read the comparison as a rough one."
    )
    if handicap is None:
        return words + " It is the best golfer that the simulator knows; a touring professional misses less."
    return words if handicap == simulated else words + " It is the nearest one that the simulator knows."


@lru_cache(maxsize=64)
def _simulated(handicap: float) -> Record:
    """Rounds of the typical golfer of a handicap; always the same ones."""
    schedule = simple_schedule(SIMULATED_ROUNDS)
    return play([golfer_of_handicap(handicap)], [calibration_course()], schedule, np.random.default_rng(18))
