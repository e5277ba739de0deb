"""An answer: a value with what it rests on. Below its minimum sample it is no number at all."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import stats

from golfstats.calc.record import Floats, Ints

INTERVAL = 0.90
"""Every interval of the service is a 90% interval."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number, its sample size and its 90% interval.

    ``value``, ``low`` and ``high`` are ``None`` when ``n`` is below ``minimum_n``: the service
    then says "too few" and shows no number.
    """

    value: float | None
    low: float | None
    high: float | None
    n: int
    minimum_n: int
    unit: str

    @property
    def enough(self) -> bool:
        return self.value is not None

    @classmethod
    def too_few(cls, n: int, minimum_n: int, unit: str) -> Figure:
        return cls(None, None, None, n, minimum_n, unit)


def mean_figure(values: Floats, unit: str, minimum_n: int = 2) -> Figure:
    """Mean of independent values with Student's interval."""
    n = len(values)
    if n < max(minimum_n, 2):
        return Figure.too_few(n, minimum_n, unit)
    mean = float(np.mean(values))
    half = float(stats.t.ppf(0.5 + INTERVAL / 2, n - 1)) * float(np.std(values, ddof=1)) / math.sqrt(n)
    return Figure(mean, mean - half, mean + half, n, minimum_n, unit)


def clustered_mean_figure(values: Floats, cluster: Ints, unit: str, minimum_n: int = 2) -> Figure:
    """Mean over shots or holes that come in clusters (rounds), which share a day and a player's form.

    The interval is the ratio estimator's linearised variance over clusters with Student's quantile
    on clusters - 1 degrees of freedom (Cochran, Sampling Techniques, 1977, section 6.3, from memory).
    ``n`` counts the values.
    """
    n = len(values)
    labels, index = np.unique(cluster, return_inverse=True)
    clusters = len(labels)
    if n < minimum_n or clusters < 2:
        return Figure.too_few(n, minimum_n, unit)
    mean = float(np.mean(values))
    residual_sums = np.bincount(index, weights=values - mean, minlength=clusters)
    variance = clusters / (clusters - 1) * float(np.sum(residual_sums**2)) / n**2
    half = float(stats.t.ppf(0.5 + INTERVAL / 2, clusters - 1)) * math.sqrt(variance)
    return Figure(mean, mean - half, mean + half, n, minimum_n, unit)


def share_figure(successes: int, n: int, minimum_n: int = 1) -> Figure:
    """Share of independent trials with Wilson's score interval (Wilson 1927)."""
    if n < max(minimum_n, 1):
        return Figure.too_few(n, minimum_n, "share")
    share = successes / n
    z = float(stats.norm.ppf(0.5 + INTERVAL / 2))
    centre = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return Figure(share, max(0.0, centre - half), min(1.0, centre + half), n, minimum_n, "share")
