"""The golfer whom a benchmark of putting stands for.

For one player's own putts, where the distance left counts too, see
:mod:`golfstats.calc.putting.player`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import optimize

from golfstats.calc.putting.outcomes import putting_outcomes
from golfstats.calc.record import Floats


@dataclass(frozen=True)
class Spreads:
    """Of a golfer's putts: direction in radians, distance as a fraction of the roll."""

    direction_sd: float
    distance_sd: float


def fit_expected_putts(feet: Floats, expected_putts: Floats) -> Spreads:
    """The golfer whose expected putts come nearest to a benchmark's (least squares).

    A benchmark knows only its mean number of putts; this gives it a make curve and a leave as well.
    Distances to 40 feet serve best: the professional table says more putts beyond than any two spreads
    that hold nearer by. Takes a second or so; keep the answer.
    """

    def residuals(log_spreads: Floats) -> Floats:
        direction_sd, distance_sd = np.exp(log_spreads)
        return putting_outcomes(feet, float(direction_sd), float(distance_sd)).expected_putts - expected_putts

    minimum = optimize.least_squares(residuals, np.log([0.025, 0.1]), xtol=1e-5, ftol=1e-6)
    direction_sd, distance_sd = np.exp(minimum.x)
    return Spreads(float(direction_sd), float(distance_sd))
