"""Did the level of a figure jump, rather than drift?

For every round (with enough rounds on each side) the model of :mod:`~golfstats.calc.coaching.trends`
is compared with the same model plus a step that begins at that round. The statistic is twice the
gain in the penalised log-likelihood at the best round, the drift being free in both.
"""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.steps import threshold
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, Trend, fit_trend
from golfstats.calc.figure import Figure, t_half_width
from golfstats.calc.units import Unit


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
    if (trend := trend or fit_trend(series)) is None:
        return None
    if (step := trend.best_step) is None:
        return None
    n = len(series)
    half = t_half_width(n - 2) * step.scale
    return Shift(
        day=float(series.day[step.row]),
        row=step.row,
        size=Figure(step.size, step.size - half, step.size + half, n, MINIMUM_ROUNDS, unit),
        statistic=step.statistic,
    )
