"""One round hole by hole and shot by shot: what every stroke gained and what that came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.record import Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import PartTotals, parts_of_shots, totals_by_hole, totals_by_round
from golfstats.calc.vocabulary import Part
from golfstats.ground.clubs.models import Club
from players.figures.models import RoundFigures, ShotFigures
from players.golf.benchmarks import measure_of
from players.golf.loading import LoadedRecord, load_record


@dataclass(frozen=True, eq=False)
class RoundAnalysis:
    """A round's record with one value a shot; NaN for the shots of holes that are not covered."""

    loaded: LoadedRecord
    benchmark: Benchmark
    stored: bool
    """The figures are those that the worker stored, not computed for this answer."""
    expected_before: Floats
    expected_after: Floats
    strokes_gained: Floats
    part: Ints
    by_hole: PartTotals
    by_round: PartTotals


def stored_analysis(round_id: UUID, club: Club, benchmark: Benchmark) -> RoundAnalysis:
    """The analysis that the worker stored, against the club's own benchmark."""
    loaded = load_record(rounds=[round_id])
    rows = ShotFigures.objects.filter(shot__played_hole__round=round_id)
    figures = {
        shot_id: values
        for shot_id, *values in rows.values_list(
            "shot_id", "expected_before", "expected_after", "strokes_gained"
        )
    }
    return _analysis(loaded, club, benchmark, figures)


def stored_benchmark(round_id: UUID) -> str | None:
    """Key of the benchmark that the round's stored figures were measured against; None without figures."""
    return RoundFigures.objects.filter(round=round_id).values_list("benchmark", flat=True).first()


def computed_analysis(round_id: UUID, club: Club, key: str) -> RoundAnalysis:
    """The same against the benchmark of any key, computed now."""
    loaded = load_record(rounds=[round_id])
    return _analysis(loaded, club, measure_of(key, loaded.players, loaded), None)


def _analysis(
    loaded: LoadedRecord, club: Club, benchmark: Benchmark, stored: Mapping[UUID, list[float]] | None
) -> RoundAnalysis:
    shots = loaded.record.shots
    part = parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards)
    if stored is None:
        gained = strokes_gained(loaded.record, benchmark)
        before = np.where(np.isnan(gained), np.nan, benchmark.expected_in(loaded.record))
        # By definition of strokes gained; exact, so that what is shown adds up.
        after = before - gained - (1 + shots.penalty)
    else:
        missing = [np.nan, np.nan, np.nan]
        table = np.array([stored.get(shot_id, missing) for shot_id in loaded.shot_ids]).reshape(-1, 3)
        before, after, gained = table[:, 0], table[:, 1], table[:, 2]
    return RoundAnalysis(
        loaded=loaded,
        benchmark=benchmark,
        stored=stored is not None,
        expected_before=before,
        expected_after=after,
        strokes_gained=gained,
        part=part,
        by_hole=totals_by_hole(loaded.record, gained, part),
        by_round=totals_by_round(loaded.record, gained, part),
    )


def part_rule(part: int, *, from_tee: bool, short_game_yards: float) -> str:
    """Why a shot belongs to its part of the game, in words."""
    if part == Part.TEE:
        return gettext("a tee shot on a par 4 or 5")
    if part == Part.APPROACH:
        far = gettext("from more than {yards} yards").format(yards=f"{short_game_yards:g}")
        return gettext("a tee shot on a par 3") if from_tee else far
    if part == Part.SHORT_GAME:
        near = gettext("not from the green, within {yards} yards of the hole")
        return near.format(yards=f"{short_game_yards:g}")
    return gettext("from the green")


PART_RULES = {
    Part.TEE: noop("tee shots on par 4 and 5"),
    Part.APPROACH: noop("tee shots on par 3, and shots from beyond the short game"),
    Part.SHORT_GAME: noop("shots not from the green, within the club's short-game distance"),
    Part.PUTTING: noop("shots from the green"),
}
"""What belongs to each part of the game."""
