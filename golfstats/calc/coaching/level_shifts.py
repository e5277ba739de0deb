"""Did the level of a figure jump, rather than drift?

For every round (with enough rounds on each side) the model of :mod:`~golfstats.calc.coaching.trends`
is compared with the same model plus a step that begins at that round. The statistic is twice the
gain in the penalised log-likelihood at the best round, the drift being free in both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.belief import t_half_width
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, Series, Trend, fit_trend, without_slope
from golfstats.calc.figure import Figure
from golfstats.calc.units import Unit

ROUNDS_EACH_SIDE = 5
"""A step needs this many rounds before and after it: one odd day is no new level."""


def threshold(rounds: int) -> float:
    """Value of the statistic that at most 5% of series without a step pass.

    By simulation with 10 to 120 rounds, by chance alone, with neighbours alike (autocorrelation 0.5), spells of form,
    odd days and a level that climbs by 1.5 times a round's noise in a year. Few rounds cannot tell form from a step.
    """
    return min(8.0 + 5.0 * math.log(rounds / 10), 13.5)


@dataclass(frozen=True)
class Shift:
    """A step of the level: the day of its first round, its size (later minus earlier), its statistic."""

    day: float
    row: int
    size: Figure
    statistic: float


def level_shift(series: Series, unit: Unit, trend: Trend | None = None) -> Shift | None:
    """The strongest step of the level if it passes the threshold, otherwise ``None``.

    ``trend`` is the series', where it is fitted already.
    """
    shift = strongest_step(series, unit, trend)
    return shift if shift is not None and shift.statistic > threshold(len(series)) else None


def strongest_step(series: Series, unit: Unit, trend: Trend | None = None) -> Shift | None:
    """The best step whatever its statistic; ``None`` when there are too few rounds for any."""
    n = len(series)
    if n < 2 * ROUNDS_EACH_SIDE:
        return None
    trend = trend or fit_trend(series)
    if trend is None:
        return None
    fit, smoothed = without_slope(trend)
    score, information = fit.less_effects(smoothed.score), smoothed.information
    rows = np.arange(ROUNDS_EACH_SIDE, n - ROUNDS_EACH_SIDE + 1)
    explained = score[rows] ** 2 / information[rows]
    left = np.maximum(fit.residual_sum - explained, 1e-12 * fit.residual_sum)
    with_step = 2 * fit.log_evidence + (n - 1) * np.log(fit.residual_sum / left)
    best, setting = np.unravel_index(int(np.argmax(with_step)), with_step.shape)
    row = int(rows[best])
    size = float(score[row, setting] / information[row, setting])
    half = t_half_width(n - 2) * float(np.sqrt(left[best, setting] / (n - 2) / information[row, setting]))
    return Shift(
        day=float(series.day[row]),
        row=row,
        size=Figure(size, size - half, size + half, n, MINIMUM_ROUNDS, unit),
        statistic=float(with_step[best, setting] - np.max(2 * fit.log_evidence)),
    )
