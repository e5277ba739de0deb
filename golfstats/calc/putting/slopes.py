"""Putts from below the hole against putts from above it.

That a putt from below beats one from above is common practice, no source; one study of amateurs found
uphill putts easier (Science and Golf III, DOI 10.4324/9780203715000-12), one of professionals found no
effect (Fearing, Acimovic and Graves 2011, as reported in the press). So each player's data decide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from golfstats.calc.figure import INTERVAL, Figure, clustered_mean_figure
from golfstats.calc.putting.outcomes import STATES_FT, putting_outcomes
from golfstats.calc.record import Floats, Ints, Record
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import Lie, Slope

MINIMUM_SLOPED = 20
"""Putts of each kind."""


@dataclass(frozen=True)
class SlopeComparison:
    """Putts from below the hole (uphill) and from above it, in strokes gained a putt."""

    below: Figure
    above: Figure
    difference: Figure
    """Below minus above; ``n`` counts both."""


def below_against_above(record: Record, strokes_gained: Floats) -> SlopeComparison:
    """Uphill against downhill putts in strokes gained (one value a shot, NaN where there is none).

    Give :func:`gained_on_own_putting` unless both kinds come from the same distances: against a better
    benchmark a player loses more a putt the longer it is.
    """
    shots = record.shots
    putts = (shots.lie == Lie.GREEN) & ~np.isnan(strokes_gained)
    uphill, downhill = (
        np.flatnonzero(putts & (shots.slope == way)) for way in (Slope.UPHILL, Slope.DOWNHILL)
    )
    below, above = (
        clustered_mean_figure(strokes_gained[rows], shots.round[rows], Unit.STROKES, MINIMUM_SLOPED)
        for rows in (uphill, downhill)
    )
    return SlopeComparison(below, above, _difference(record, strokes_gained, uphill, downhill))


def gained_on_own_putting(record: Record, direction_sd: float, distance_sd: float) -> Floats:
    """Strokes that each putt gained on what a golfer with these two spreads needs from there.

    Radians and a fraction of the roll. One value a shot, NaN for shots that are no putts.
    """
    shots = record.shots
    putts = putting_outcomes(STATES_FT, direction_sd, distance_sd).expected_putts

    def expected(yards: Floats) -> Floats:
        feet = np.maximum(yards * FEET_PER_YARD, STATES_FT[0])
        return np.asarray(np.interp(np.log(feet), np.log(STATES_FT), putts))

    after = np.where(shots.holed, 0.0, expected(shots.distance_after))
    return np.where(shots.lie == Lie.GREEN, expected(shots.distance) - 1.0 - after, np.nan)


def _difference(record: Record, values: Floats, first: Ints, second: Ints) -> Figure:
    """Mean of the first rows minus mean of the second, which may share rounds.

    Linearised variance over rounds, as in :func:`~golfstats.calc.figure.clustered_mean_figure`.
    """
    n = len(first) + len(second)
    if min(len(first), len(second)) < MINIMUM_SLOPED:
        return Figure.too_few(n, 2 * MINIMUM_SLOPED, Unit.STROKES)
    parts = [(values[rows] - np.mean(values[rows])) / len(rows) for rows in (first, second)]
    influence = np.concatenate([parts[0], -parts[1]])
    labels, cluster = np.unique(record.shots.round[np.concatenate([first, second])], return_inverse=True)
    rounds = len(labels)
    if rounds < 2:
        return Figure.too_few(n, 2 * MINIMUM_SLOPED, Unit.STROKES)
    variance = rounds / (rounds - 1) * np.sum(np.bincount(cluster, weights=influence) ** 2)
    half = float(stats.t.ppf(0.5 + INTERVAL / 2, rounds - 1) * np.sqrt(variance))
    difference = float(np.mean(values[first]) - np.mean(values[second]))
    return Figure(difference, difference - half, difference + half, n, 2 * MINIMUM_SLOPED, Unit.STROKES)
