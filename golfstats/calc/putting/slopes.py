"""Putts from below the hole against putts from above it.

That a putt from below beats one from above is common practice, no source; one study of amateurs found
uphill putts easier (Science and Golf III, DOI 10.4324/9780203715000-12), one of professionals found no
effect (Fearing, Acimovic and Graves 2011, as reported in the press). So each player's data decide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.figure import Figure, clustered_mean_figure, difference_like_with_like
from golfstats.calc.putting.outcomes import STATES_FT, putting_outcomes
from golfstats.calc.record import Floats, Ints, Record
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import Lie, Slope

MINIMUM_SLOPED = 20
"""Putts of each kind."""
SHORTEST_YARDS = STATES_FT[0] / FEET_PER_YARD
CURVE = 5
"""Coefficients of the curve in the logarithm of the distance beside which the two kinds are compared: uphill putts
come from farther, and no golfer putts just as two spreads say (our choice, tried in worlds of other laws)."""


@dataclass(frozen=True)
class SlopeComparison:
    """Putts from below the hole (uphill) and from above it, in strokes gained a putt."""

    below: Figure
    above: Figure
    difference: Figure
    """Below minus above from equal distances; ``n`` counts both."""


def below_against_above(record: Record, strokes_gained: Floats) -> SlopeComparison:
    """Uphill against downhill putts in strokes gained (one value a shot, NaN where there is none).

    Give :func:`gained_on_own_putting` unless both kinds come from the same distances: against a better
    benchmark a player loses more a putt the longer it is. The difference allows for distance by itself as well.
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
    """Mean of the first rows minus mean of the second from equal distances, whatever curve the values follow."""
    n = len(first) + len(second)
    rows = np.concatenate([first, second])
    rounds = record.shots.round[rows]
    if min(len(first), len(second)) < MINIMUM_SLOPED or len(np.unique(rounds)) < 2:
        return Figure.too_few(n, 2 * MINIMUM_SLOPED, Unit.STROKES)
    away = np.log(np.maximum(record.shots.distance[rows], SHORTEST_YARDS))
    curve = np.vander(away, CURVE)
    chosen = np.repeat([1.0, 0.0], [len(first), len(second)])
    difference, half = difference_like_with_like(values[rows], chosen, curve, rounds)
    return Figure(difference, difference - half, difference + half, n, 2 * MINIMUM_SLOPED, Unit.STROKES)
