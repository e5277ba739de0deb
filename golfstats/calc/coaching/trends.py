"""A figure over time: its level and 90% band at any date, and whether it changed.

A local-level model (:mod:`~golfstats.calc.coaching.local_level`) on the values of the rounds. The
level's drift is not fixed at one estimate: it is integrated out on a grid under a weak prior, and
the noise variance under Jeffreys' prior, so bands stay honest when there are few rounds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np

from golfstats.calc.coaching.belief import Belief, t_half_width
from golfstats.calc.coaching.local_level import Smoothed, filter_levels, smooth_levels
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import Figure
from golfstats.calc.observations import Observations
from golfstats.calc.record import Floats, Ints

MINIMUM_ROUNDS = 6
"""A trend needs this many rounds."""

PRIOR_DRIFT = 5e-3
"""Centre of the prior of the drift: in a year the level moves by 1.4 of a round's noise (our judgement)."""
PRIOR_LOG_SPREAD = 2.0
"""Standard deviation of the prior of ln drift: a year's move of 0.2 to 10 of a round's noise."""

DRIFTS: Floats = PRIOR_DRIFT * np.exp(PRIOR_LOG_SPREAD * np.linspace(-3.0, 3.0, 25))
LOG_PRIOR: Floats = -0.5 * (np.log(DRIFTS / PRIOR_DRIFT) / PRIOR_LOG_SPREAD) ** 2


@dataclass(frozen=True)
class Series:
    """Rounds in order: day number, the round's value, and its weight (its number of observations)."""

    day: Floats
    value: Floats
    weight: Floats

    @classmethod
    def of(cls, observations: Observations, day_of_round: Ints, *, median: bool = False) -> Self:
        """The value by round of a figure: the mean, or the median, of the round's observations.

        ``day_of_round`` is the day number of each row of ``Rounds``.
        """
        rounds, value, count = observations.by_round()
        if median:
            value = np.array([np.median(observations.value[observations.round == row]) for row in rounds])
        day = day_of_round[rounds].astype(np.float64)
        order = np.argsort(day, kind="stable")
        return cls(day[order], value[order], count[order].astype(np.float64))

    def __len__(self) -> int:
        return len(self.day)

    def relative_weight(self) -> Floats:
        """Weights with mean 1, so that the drift compares with the noise of a usual round."""
        return self.weight / np.mean(self.weight)


@dataclass(frozen=True)
class Trend:
    """The fitted model: for each drift of the grid its probability and noise variance; bands by round."""

    series: Series
    probability: Floats
    noise: Floats
    level: Floats
    """Level at each round given all rounds; with ``low`` and ``high``, its 90% band."""
    low: Floats
    high: Floats

    @property
    def freedom(self) -> float:
        return len(self.series) - 1.0


def fit_trend(series: Series) -> Trend | None:
    """Fit the model; ``None`` with fewer than six rounds or when every round has the same value.

    With Jeffreys' prior 1/s² the noise variance integrates out of the likelihood, leaving
    (residual sum)^(-(n-1)/2) times the innovations' variances to the power -1/2.
    """
    n = len(series)
    if n < MINIMUM_ROUNDS or np.ptp(series.value) == 0:
        return None
    filtered = filter_levels(series.day, series.value, series.relative_weight(), DRIFTS)
    residual_sum = filtered.residual_sum()
    log_posterior = LOG_PRIOR - 0.5 * filtered.log_variances() - 0.5 * (n - 1) * np.log(residual_sum)
    probability = np.exp(log_posterior - np.max(log_posterior))
    probability /= np.sum(probability)
    noise = residual_sum / (n - 1)
    smoothed = smooth_levels(filtered)
    level = smoothed.level @ probability
    variance = (smoothed.variance * noise + smoothed.level**2) @ probability - level**2
    half = t_half_width(n - 1) * np.sqrt(np.maximum(variance, 0))
    return Trend(series, probability, noise, level, level - half, level + half)


def level_on(trend: Trend, day: float) -> Belief | None:
    """The level on any day, later ones included; ``None`` before the first round."""
    if day < trend.series.day[0]:
        return None
    smoothed, (row,) = _smooth_with_days(trend, [day])
    return _belief(trend, smoothed.level[row], smoothed.variance[row])


def level_figure(trend: Trend | None, day: float, unit: str, n: int) -> Figure:
    """The level on a day as a figure; ``n`` rounds if there is no trend."""
    belief = level_on(trend, day) if trend else None
    if trend is None or belief is None:
        return Figure.too_few(n, MINIMUM_ROUNDS, unit)
    return belief.figure(len(trend.series), unit, MINIMUM_ROUNDS)


def change_between(trend: Trend, earlier: float, later: float) -> Belief | None:
    """Level on the later day minus level on the earlier one, from their joint distribution.

    The two levels share the rounds between and around them, so their covariance counts.
    ``None`` if the earlier day is before the first round or the days are not in order.
    """
    if earlier < trend.series.day[0] or later <= earlier:
        return None
    smoothed, (first, second) = _smooth_with_days(trend, [earlier, later])
    variance = smoothed.variance[first] + smoothed.variance[second] - 2 * smoothed.covariance(first, second)
    return _belief(trend, smoothed.level[second] - smoothed.level[first], variance)


def chance_better(trend: Trend, earlier: float, later: float, better: Better) -> float | None:
    """Chance that the level on the later day is better than on the earlier one."""
    change = change_between(trend, earlier, later)
    return None if change is None else change.chance_better_than(0.0, better)


def forecast_mean(trend: Trend, days: Floats, weights: Floats) -> Belief:
    """The weighted mean of rounds still to come on the given days (not before the last round).

    ``weights`` are on the scale of the series' weights. The level walks on from the last round,
    and each round adds its own noise.
    """
    series = trend.series
    filtered = filter_levels(series.day, series.value, series.relative_weight(), DRIFTS)
    share = weights / np.sum(weights)
    ahead = days - series.day[-1]
    walked = DRIFTS * float(share @ np.minimum.outer(ahead, ahead) @ share)
    noise = float(np.sum(share**2 * np.mean(series.weight) / weights))
    return _belief(trend, filtered.level[-1], filtered.variance[-1] + walked + noise)


def _belief(trend: Trend, mean: Floats, variance: Floats) -> Belief:
    return Belief(trend.probability, mean, np.maximum(variance, 0) * trend.noise, trend.freedom)


def _smooth_with_days(trend: Trend, days: list[float]) -> tuple[Smoothed, list[int]]:
    """The smoother on the rounds' dates with further dates among them, and the rows of these."""
    series = trend.series
    rounds, extra = len(series), len(days)
    day = np.concatenate([series.day, days])
    order = np.argsort(day, kind="stable")
    value = np.concatenate([series.value, np.zeros(extra)])[order]
    weight = np.concatenate([series.relative_weight(), np.zeros(extra)])[order]
    smoothed = smooth_levels(filter_levels(day[order], value, weight, DRIFTS))
    rows = [int(np.flatnonzero(order == rounds + number)[0]) for number in range(extra)]
    return smoothed, rows
