"""The golf of some players with its strokes gained: one bulk read, whatever the number of rounds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from courses.layout.models import Course
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.approach import bands as bands_between
from golfstats.calc.observations import AnalysedRecord, Observations
from golfstats.calc.record import Bools
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import parts_of_shots
from golfstats.ground.clubs.models import Club
from players.golf.benchmarks import measure_of
from players.golf.loading import LoadedRecord, load_record
from players.golf.windows import RoundWindow, rounds_in


@dataclass(frozen=True, eq=False)
class Golf:
    """Rounds of one or more players, measured against one benchmark."""

    loaded: LoadedRecord
    analysed: AnalysedRecord
    benchmark: Benchmark
    window: RoundWindow
    bands: list[Band]
    """The club's approach distance bands."""
    course_names: dict[UUID, str]

    def played_on(self, round_row: int) -> date:
        return date.fromordinal(int(self.analysed.record.rounds.day[round_row]))

    def course_name(self, round_row: int) -> str:
        return self.course_names[self.loaded.courses[int(self.analysed.record.rounds.course[round_row])]]

    def rounds_of(self, players: Iterable[UUID]) -> Bools:
        """Which rows of the rounds are these players'."""
        wanted = set(players)
        chosen = np.array([player in wanted for player in self.loaded.players], dtype=np.bool_)
        return chosen[self.analysed.record.rounds.player] if len(chosen) else np.zeros(0, dtype=np.bool_)

    def observations_of(self, observations: Observations, players: Iterable[UUID]) -> Observations:
        return observations.select(self.rounds_of(players)[observations.round])


def golf_of(
    players: Iterable[UUID],
    club: Club,
    benchmark: str | None = None,
    window: RoundWindow | None = None,
) -> Golf:
    """The rounds of these players in the window (by default the last 20 of each), against the benchmark
    of this key (by default the club's). Raises ``UnknownBenchmarkError``.
    """
    window = window or RoundWindow()
    wanted = list(players)
    loaded = load_record(rounds=rounds_in(wanted, window))
    return _golf(loaded, measure_of(benchmark or club.benchmark, wanted, loaded), club, window)


def golf_of_rounds(rounds: Iterable[UUID], club: Club) -> Golf:
    """These rounds, of whomever they are, against the club's benchmark."""
    loaded = load_record(rounds=rounds)
    return _golf(loaded, measure_of(club.benchmark, loaded.players, loaded), club, RoundWindow.between())


def _golf(loaded: LoadedRecord, measure: Benchmark, club: Club, window: RoundWindow) -> Golf:
    names = Course.objects.filter(id__in=loaded.courses).values_list("id", "name")
    return Golf(
        loaded=loaded,
        analysed=analysed_record(loaded, measure, club),
        benchmark=measure,
        window=window,
        bands=bands_of(club),
        course_names=dict(names),
    )


def analysed_record(loaded: LoadedRecord, benchmark: Benchmark, club: Club) -> AnalysedRecord:
    shots = loaded.record.shots
    part = parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards)
    gained = strokes_gained(loaded.record, benchmark)
    return AnalysedRecord(loaded.record, gained, part, loaded.altitude)


def bands_of(club: Club) -> list[Band]:
    return bands_between(club.approach_band_edges) if club.approach_band_edges else bands_between()
