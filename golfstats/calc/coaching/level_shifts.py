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
from golfstats.calc.coaching.local_level import filter_levels, step_scores
from golfstats.calc.coaching.trends import DRIFTS, LOG_PRIOR, MINIMUM_ROUNDS, Series
from golfstats.calc.figure import Figure

ROUNDS_EACH_SIDE = 5
"""A step needs this many rounds before and after it: one odd day is no new level."""


def threshold(rounds: int) -> float:
    """Value of the statistic that fewer than 5% of series without a step pass.

    By simulation with 10 to 200 rounds a week apart, with drifts from none to 0.005 a day: a level
    that moves by 1.4 times a round's noise in a year. The longer the series, the more room a drifting
    level has to look like a step.
    """
    return 8.0 + 2.7 * math.log(rounds / 20)


@dataclass(frozen=True)
class Shift:
    """A step of the level: the day of its first round, its size (later minus earlier), its statistic."""

    day: float
    row: int
    size: Figure
    statistic: float


def level_shift(series: Series, unit: str) -> Shift | None:
    """The strongest step of the level if it passes the threshold, otherwise ``None``."""
    shift = strongest_step(series, unit)
    return shift if shift is not None and shift.statistic > threshold(len(series)) else None


def strongest_step(series: Series, unit: str) -> Shift | None:
    """The best step whatever its statistic; ``None`` when there are too few rounds for any."""
    n = len(series)
    if n < 2 * ROUNDS_EACH_SIDE or np.ptp(series.value) == 0:
        return None
    filtered = filter_levels(series.day, series.value, series.relative_weight(), DRIFTS)
    residual_sum = filtered.residual_sum()
    score, information = step_scores(filtered)
    rows = np.arange(ROUNDS_EACH_SIDE, n - ROUNDS_EACH_SIDE + 1)
    explained = score[rows] ** 2 / information[rows]
    left = np.maximum(residual_sum - explained, 1e-12 * residual_sum)
    without = 2 * LOG_PRIOR - filtered.log_variances() - (n - 1) * np.log(residual_sum)
    with_step = 2 * LOG_PRIOR - filtered.log_variances() - (n - 1) * np.log(left)
    best, drift = np.unravel_index(int(np.argmax(with_step)), with_step.shape)
    row = int(rows[best])
    size = float(score[row, drift] / information[row, drift])
    half = t_half_width(n - 2) * float(np.sqrt(left[best, drift] / (n - 2) / information[row, drift]))
    return Shift(
        day=float(series.day[row]),
        row=row,
        size=Figure(size, size - half, size + half, n, MINIMUM_ROUNDS, unit),
        statistic=float(with_step[best, drift] - np.max(without)),
    )
