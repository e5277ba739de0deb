"""Mean and variance of log(1 + feet left) after a miss, and how the mean moves with the two spreads.

Both errors act in feet at the hole: sideways distance × direction_sd, lengthways
(distance + overshot) × distance_sd. The moments are tabled over the logarithms of these two and
interpolated; log(1 + feet) keeps tap-ins, which are recorded roughly, from dominating.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.interpolate import RectBivariateSpline

from golfstats.calc.putting.leave import leave_cdf
from golfstats.calc.putting.make_model import OVERSHOT_FT
from golfstats.calc.record import Floats, Ints

SIDEWAYS_FT = np.geomspace(0.02, 8.0, 26)
LENGTHWAYS_FT = np.geomspace(0.1, 30.0, 26)
LEAVES_FT = np.concatenate([[0.02], np.geomspace(0.05, 150.0, 120)])
FINE = 256
"""Points a side of the table that is looked up; with so many, straight lines between them are exact enough."""
NOMINAL_DISTANCE_FT = 20.0
"""Distance at which the table is worked out; given the spreads in feet the distance itself hardly matters."""


@dataclass(frozen=True)
class LeaveMoments:
    """Moments given a miss; slopes of the mean are by the logarithms of the spreads."""

    mean: Floats
    by_direction: Floats
    by_distance: Floats
    variance: Floats


def leave_moments(log_distance_ft: Floats, log_direction_sd: Floats, log_distance_sd: Floats) -> LeaveMoments:
    """Moments of log(1 + feet left) given a miss; spreads outside the table count as its edge."""
    sideways = log_distance_ft + log_direction_sd
    lengthways = np.log(np.exp(log_distance_ft) + OVERSHOT_FT) + log_distance_sd
    row, below = _place(sideways, SIDEWAYS_FT)
    column, left = _place(lengthways, LENGTHWAYS_FT)
    table = _table()
    first = table[row, column] * (1 - left) + table[row, column + 1] * left
    second = table[row + 1, column] * (1 - left) + table[row + 1, column + 1] * left
    moments = (first * (1 - below) + second * below).T
    return LeaveMoments(*moments)


def _place(log_feet: Floats, axis: Floats) -> tuple[Ints, Floats]:
    """Cell of the fine table along an axis and the share of the way through it (as a column)."""
    low, high = np.log(axis[0]), np.log(axis[-1])
    position = np.clip((log_feet - low) / (high - low), 0.0, 1.0) * (FINE - 1)
    cell = np.minimum(position.astype(np.int64), FINE - 2)
    return cell, (position - cell)[:, None]


@cache
def _table() -> Floats:
    """The four moments over the fine table, rows × columns × 4."""
    direction = (SIDEWAYS_FT / NOMINAL_DISTANCE_FT)[:, None, None]
    pace = (LENGTHWAYS_FT / (NOMINAL_DISTANCE_FT + OVERSHOT_FT))[None, :, None]
    within = leave_cdf(NOMINAL_DISTANCE_FT, LEAVES_FT, direction, pace)
    chance = np.maximum(np.diff(within, axis=2, prepend=0.0), 0.0) / within[:, :, -1:]
    value = np.log1p(np.concatenate([[0.01], (LEAVES_FT[1:] + LEAVES_FT[:-1]) / 2]))
    mean = np.sum(chance * value, axis=2)
    variance = np.sum(chance * (value - mean[:, :, None]) ** 2, axis=2)

    coarse = np.log(SIDEWAYS_FT), np.log(LENGTHWAYS_FT)
    rows, columns = (np.linspace(axis[0], axis[-1], FINE) for axis in coarse)
    smooth_mean, smooth_variance = (RectBivariateSpline(*coarse, moment) for moment in (mean, variance))
    return np.stack(
        [
            smooth_mean(rows, columns),
            smooth_mean(rows, columns, dx=1),
            smooth_mean(rows, columns, dy=1),
            np.maximum(smooth_variance(rows, columns), 1e-3),
        ],
        axis=-1,
    )
