"""A player's putting: two spreads pooled over the club, and what follows from them and from his putts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import pairwise

import numpy as np

from golfstats.calc.figures.approach import Band
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.putting import tendencies
from golfstats.calc.putting.fit import fit_expected_putts
from golfstats.calc.putting.likelihood import putts_of
from golfstats.calc.putting.make_curve import MAKE_EDGES_FT
from golfstats.calc.putting.make_model import make_probability
from golfstats.calc.putting.outcomes import Outcomes, putting_outcomes
from golfstats.calc.putting.player import OutcomeFigures, PlayerSpreads, outcome_figures, player_spreads
from golfstats.calc.putting.slopes import SlopeComparison, below_against_above, gained_on_own_putting
from golfstats.calc.putting.tendencies import UnderReading, under_reading
from golfstats.calc.record import Floats
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.queries.analysed import Golf
from players.queries.benchmarks import ClubPuttingPrior
from players.queries.figures import NamedFigure, figures_of
from players.queries.putts_made import made_spec

FIRST_PUTTS_FT = np.array([3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0])
FITTED_FEET = np.array([3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0])

Chance = Callable[[Floats], Floats]


@dataclass(frozen=True)
class BenchmarkPutter:
    """The two spreads whose expected putts come nearest to a benchmark's."""

    direction_degrees: float
    distance_percent: float
    make: Chance
    """Chance to hole from distances in feet."""
    outcomes: Outcomes
    """From :data:`FIRST_PUTTS_FT`."""


@dataclass(frozen=True)
class Made:
    """Putts from a range of distances: the share holed beside what two golfers would have holed of them."""

    low_ft: float
    high_ft: float
    named: NamedFigure
    benchmark: float | None
    own_model: float | None


@dataclass(frozen=True)
class Putting:
    spreads: PlayerSpreads
    prior: ClubPuttingPrior
    benchmark: BenchmarkPutter
    make_curve: list[Made]
    first_putts: list[OutcomeFigures]
    habits: list[NamedFigure]
    under_reading: UnderReading
    slopes: SlopeComparison


def putting(golf: Golf, prior: ClubPuttingPrior) -> Putting:
    """A player's putting, pooled with the club's golfers (``prior``)."""
    record = golf.analysed.record
    spreads = player_spreads(putts_of(record), prior.prior)
    direction_sd, distance_sd = (float(value) for value in np.exp(spreads.log_mean))
    benchmark = benchmark_putter(golf.benchmark)
    own = partial(make_probability, direction_sd=direction_sd, distance_sd=distance_sd)
    keys = ["gained.putting", "putts.round", "putts.green_in_regulation", "putts.three"]
    return Putting(
        spreads=spreads,
        prior=prior,
        benchmark=benchmark,
        make_curve=_make_curve(golf.analysed, benchmark.make, own),
        first_putts=outcome_figures(spreads, FIRST_PUTTS_FT),
        habits=figures_of(golf, keys + [spec.key for spec in tendencies.FIGURES]),
        under_reading=under_reading(record),
        slopes=below_against_above(record, gained_on_own_putting(record, direction_sd, distance_sd)),
    )


def _make_curve(analysed: AnalysedRecord, benchmark: Chance, own: Chance) -> list[Made]:
    curve = []
    for low, high in pairwise(MAKE_EDGES_FT):
        spec: FigureSpec = made_spec(Band(low, high))
        observed: Observations = spec.observe(analysed)
        feet = FEET_PER_YARD * analysed.record.shots.distance[observed.shot]
        some = len(feet) > 0
        curve.append(
            Made(
                low,
                high,
                NamedFigure(spec, spec.figure(observed)),
                float(np.mean(benchmark(feet))) if some else None,
                float(np.mean(own(feet))) if some else None,
            )
        )
    return curve


def benchmark_putter(benchmark: Benchmark) -> BenchmarkPutter:
    """The benchmark as a putter. The fit takes a second or so and is remembered."""
    lies = np.full(len(FITTED_FEET), int(Lie.GREEN), dtype=np.int64)
    expected = benchmark.expected(lies, FITTED_FEET / FEET_PER_YARD)
    return _putter_expecting(tuple(round(float(putts), 4) for putts in expected))


@lru_cache(maxsize=256)
def _putter_expecting(expected_putts: tuple[float, ...]) -> BenchmarkPutter:
    fit = fit_expected_putts(FITTED_FEET, np.array(expected_putts))
    return BenchmarkPutter(
        direction_degrees=float(np.degrees(fit.direction_sd)),
        distance_percent=100 * fit.distance_sd,
        make=partial(make_probability, direction_sd=fit.direction_sd, distance_sd=fit.distance_sd),
        outcomes=putting_outcomes(FIRST_PUTTS_FT, fit.direction_sd, fit.distance_sd),
    )
