"""An answer: a value with what it rests on. Below its minimum sample it is no number at all."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import overload

import numpy as np
from scipy import special, stats

from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit
from golfstats.sentences import Sentence

INTERVAL = 0.90
"""Every interval of the service is a 90% interval."""

NORMAL_QUANTILE = float(stats.norm.ppf(0.5 + INTERVAL / 2))

MEDIAN_MINIMUM = 5
"""Four values bracket their median only 87.5% of the time, five 93.75%. See :func:`quantile_minimum`."""

SCALED_DEVIATION = 1.0 / float(stats.norm.ppf(0.75))
"""Median absolute deviation times this is the standard deviation of normal data."""


ROUNDING = 1e-9
"""Values that differ by less than this share of the largest are alike: sums of the same numbers differ by as much."""

READ_OFF = 1.0
"""A yard, a foot, a degree: a median that all of its values agree on is known no better than it was read off."""

SELDOM = 0.001
"""No chance is told nearer to 0 or 1 than that: no model of golf is known to hold so well (our judgement)."""

SIGNIFICANT_DIGITS = 2
"""Of the standard uncertainty "at most two significant digits" usually suffice, and the figure is rounded to the same
place (JCGM 100:2008, *Guide to the expression of uncertainty in measurement*, 7.2.6)."""


def decimals_within(low: float, high: float, most: int) -> int:
    """How many decimals a number deserves that is known to lie between these ends of a 90% interval.

    The wider the interval, the fewer; at most ``most``, what its unit is told to.
    """
    doubt = (high - low) / (2 * NORMAL_QUANTILE)
    if doubt <= 0:
        return most
    return min(most, max(0, SIGNIFICANT_DIGITS - 1 - math.floor(math.log10(doubt))))


def t_half_width(freedom: float) -> float:
    """Half width of the 90% interval of Student's t in units of its scale."""
    return float(special.stdtrit(freedom, 0.5 + INTERVAL / 2))


def alike(values: Floats) -> bool:
    """Whether all values are the same but for rounding, so that nothing tells how much such values differ."""
    return len(values) == 0 or bool(np.ptp(values) <= ROUNDING * np.max(np.abs(values)))


@overload
def unseen_share(n: int) -> float: ...
@overload
def unseen_share(n: Ints) -> Floats: ...
def unseen_share(n: int | Ints) -> float | Floats:
    """Share of all such observations that may be otherwise though ``n`` of them, each its own, were alike.

    With more of them, one would have been among the ``n`` in 95 of 100 cases: the upper end of the exact 90% interval
    of none in n (Clopper and Pearson 1934), about 3 / n.
    """
    share: float | Floats = 1.0 - ((1 - INTERVAL) / 2) ** (1 / n)
    return share


def never_certain(chance: float) -> float:
    """A chance as it may be told: never 0 or 1, which no sample can tell."""
    return min(max(chance, SELDOM), 1 - SELDOM)


def percent(chance: float) -> str:
    """A chance in words; never 0% or 100%, which no sample can tell."""
    rounded = min(max(round(100 * chance), 1), 99)
    return Sentence("{percent}%", percent=rounded)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number, its sample size and its 90% interval.

    ``value``, ``low`` and ``high`` are ``None`` when there is too little to tell them from: the service
    then says "too few" and shows no number. Mostly ``n`` is below ``minimum_n``; it may be above where
    too few rounds, days or players are behind it.
    """

    value: float | None
    low: float | None
    high: float | None
    n: int
    minimum_n: int
    unit: Unit
    estimated: int = 0
    """Holes behind it whose ball was picked up, so that their last strokes are an estimate."""

    @property
    def enough(self) -> bool:
        return self.value is not None

    @classmethod
    def too_few(cls, n: int, minimum_n: int, unit: Unit) -> Figure:
        return cls(None, None, None, n, minimum_n, unit)

    def widened(self, sd: float) -> Figure:
        """With a further, independent doubt of this standard deviation."""
        if self.value is None or self.low is None or self.high is None or sd == 0:
            return self
        half = NORMAL_QUANTILE * sd
        low, high = math.hypot(self.value - self.low, half), math.hypot(self.high - self.value, half)
        return replace(self, low=self.value - low, high=self.value + high)


def mean_figure(values: Floats, unit: Unit, minimum_n: int = 2, apart: float = 1.0) -> Figure:
    """Mean of independent values with Student's interval.

    Values that are all alike say nothing of how much such values differ, and Student's interval would have no width.
    The mean is then as far off as values that none of them showed may move it: the share of these that would probably
    have stayed unseen (:func:`unseen_share`), each ``apart`` from the others. For none in n that is the exact interval
    of a share. Were others farther apart than that, it is too narrow; nobody can tell from values that are alike.
    """
    n, minimum_n = len(values), max(minimum_n, 2)
    if n < minimum_n:
        return Figure.too_few(n, minimum_n, unit)
    mean = float(np.mean(values))
    half = t_half_width(n - 1) * float(np.std(values, ddof=1)) / math.sqrt(n)
    if alike(values):
        half = apart * unseen_share(n)
    return Figure(mean, mean - half, mean + half, n, minimum_n, unit)


def clustered_mean_figure(
    values: Floats, cluster: Ints, unit: Unit, minimum_n: int = 2, apart: float = 1.0
) -> Figure:
    """Mean over shots or holes that come in clusters (rounds), which share a day and a player's form.

    The interval is the ratio estimator's linearised variance over clusters with Student's quantile
    on clusters - 1 degrees of freedom (Cochran, Sampling Techniques, 1977, section 6.3, from memory).
    ``n`` counts the values. One cluster alone gives no interval, so it is too few. Clusters that are all alike (two
    rounds of 32 putts) cannot tell how much clusters differ: the values count as independent, as in
    :func:`mean_figure`.
    """
    n = len(values)
    variance, clusters = _clustered_variance(values, cluster)
    if n < minimum_n or clusters < 2:
        return Figure.too_few(n, minimum_n, unit)
    if math.sqrt(variance) <= ROUNDING * float(np.max(np.abs(values))):
        return replace(mean_figure(values, unit, apart=apart), minimum_n=minimum_n)
    mean = float(np.mean(values))
    half = t_half_width(clusters - 1) * math.sqrt(variance)
    return Figure(mean, mean - half, mean + half, n, minimum_n, unit)


def share_figure(successes: int, n: int, minimum_n: int = 1) -> Figure:
    """Share of independent trials with Wilson's score interval (Wilson 1927)."""
    minimum_n = max(minimum_n, 1)
    if n < minimum_n:
        return Figure.too_few(n, minimum_n, Unit.SHARE)
    low, high = _wilson(successes / n, n, NORMAL_QUANTILE)
    return Figure(successes / n, low, high, n, minimum_n, Unit.SHARE)


def clustered_share_figure(hits: Floats, cluster: Ints, minimum_n: int = 1) -> Figure:
    """Share of hits (1) among trials that come in clusters (rounds).

    Wilson's interval on the sample size divided by the design effect, with Student's quantile on
    clusters - 1 degrees of freedom (Korn and Graubard 1998 for the effective sample size, from memory),
    so it stays inside 0 and 1. The trials of one cluster alone count as independent.
    """
    n, minimum_n = len(hits), max(minimum_n, 1)
    if n < minimum_n:
        return Figure.too_few(n, minimum_n, Unit.SHARE)
    effect, clusters = _design_effect(hits, cluster)
    quantile = t_half_width(clusters - 1) if clusters > 1 else NORMAL_QUANTILE
    share = float(np.mean(hits))
    low, high = _wilson(share, n / effect, quantile)
    return Figure(share, low, high, n, minimum_n, Unit.SHARE)


def quantile_minimum(probability: float) -> int:
    """How many values it takes that both ends of a quantile's interval are among them.

    Fewer lie all on one side of it more often than one end of a 90% interval may miss: 5 for a median, 11 for a
    quarter.
    """
    return math.ceil(math.log((1 - INTERVAL) / 2) / math.log(max(probability, 1 - probability)))


def quantile_figure(
    values: Floats, probability: float, unit: Unit, minimum_n: int = MEDIAN_MINIMUM
) -> Figure:
    """A quantile of independent values with the distribution-free interval between order statistics.

    The ranks are exact binomial ones (Conover, Practical Nonparametric Statistics, from memory): the
    interval covers at least 90% whatever the shape.
    """
    return _quantile_figure(values, probability, unit, minimum_n, stretch=1.0)


def clustered_quantile_figure(
    values: Floats, cluster: Ints, probability: float, unit: Unit, minimum_n: int = MEDIAN_MINIMUM
) -> Figure:
    """Quantile of values that come in clusters (rounds).

    The exact ranks of :func:`quantile_figure` are moved outwards by the design effect of "below the
    quantile" (Woodruff 1952, from memory), never inwards. Values of one cluster alone, or of a cluster each,
    count as independent. An outer rank that does not exist is replaced by the smallest or largest value.
    """
    if len(values) < max(minimum_n, quantile_minimum(probability)):
        return quantile_figure(values, probability, unit, minimum_n)
    below = (values <= np.quantile(values, probability)).astype(np.float64)
    effect, clusters = _design_effect(below, cluster)
    stretch = 1.0
    if clusters not in (1, len(values)):
        stretch = math.sqrt(effect) * t_half_width(clusters - 1) / NORMAL_QUANTILE
    return _quantile_figure(values, probability, unit, minimum_n, stretch)


def clustered_median_figure(
    values: Floats, cluster: Ints, unit: Unit, minimum_n: int = MEDIAN_MINIMUM
) -> Figure:
    """Median of values that come in clusters (rounds); the interval is that of :func:`clustered_quantile_figure`."""
    return clustered_quantile_figure(values, cluster, 0.5, unit, minimum_n)


def difference_figure(first: Figure, second: Figure) -> Figure:
    """First minus second, two figures of separate samples; ``n`` is that of the smaller sample.

    The interval joins the two intervals without assuming that they are symmetric (the "square and
    add" method: Newcombe 1998 for shares, Zou and Donner 2008 in general, from memory).
    """
    n, minimum_n = min(first.n, second.n), max(first.minimum_n, second.minimum_n)
    if (
        first.value is None
        or first.low is None
        or first.high is None
        or second.value is None
        or second.low is None
        or second.high is None
    ):
        return Figure.too_few(n, minimum_n, first.unit)
    difference = first.value - second.value
    below = math.hypot(first.value - first.low, second.high - second.value)
    above = math.hypot(first.high - first.value, second.value - second.low)
    return Figure(difference, difference - below, difference + above, n, minimum_n, first.unit)


def mean_of_figures(value: Floats, low: Floats, high: Floats, unit: Unit) -> Figure:
    """Mean of figures of separate samples, each with its interval and of the same weight; ``n`` counts the figures.

    The intervals are joined as in :func:`difference_figure`.
    """
    n = len(value)
    if not n:
        return Figure.too_few(0, 1, unit)
    middle = float(np.mean(value))
    below, above = float(np.linalg.norm(value - low)) / n, float(np.linalg.norm(high - value)) / n
    return Figure(middle, middle - below, middle + above, n, 1, unit)


def difference_like_with_like(
    values: Floats, chosen: Floats, beside: Floats, cluster: Ints
) -> tuple[float, float]:
    """Mean of the chosen values (1) less that of the others (0) at equal ``beside``, and half its 90% interval.

    Least squares; the interval lets values of one cluster go together: the jackknife that leaves out one cluster after
    the other, with clusters - 1 degrees of freedom (CR3: Bell and McCaffrey, Survey Methodology 28, 2002; MacKinnon,
    Nielsen and Webb 2023; both from memory). The sandwich from residuals is too narrow for a dozen players. A dozen
    may look alike by chance, so it is never narrower than if no values went together. Strokes: where nothing is left
    unexplained, either mean may be off as in :func:`mean_figure`.
    """
    labels, index = np.unique(cluster, return_inverse=True)
    clusters = len(labels)
    design = np.column_stack([chosen, beside])
    order = np.argsort(index, kind="stable")
    starts = np.searchsorted(index[order], np.arange(clusters))
    each = [
        (rows.T @ rows, rows.T @ own)
        for rows, own in zip(
            np.split(design[order], starts[1:]), np.split(values[order], starts[1:]), strict=True
        )
    ]
    square, towards = sum(one for one, _ in each), sum(one for _, one in each)
    inverse = np.linalg.pinv(square, hermitian=True)
    difference = float(inverse[0] @ towards)
    without = np.array([_first_of(square - one, towards - other) for one, other in each])
    variance = (clusters - 1) / clusters * float(np.sum((without - difference) ** 2))
    left = values - design @ (inverse @ towards)
    alone = (
        float(left @ left) / max(len(values) - int(np.linalg.matrix_rank(square)), 1) * float(inverse[0, 0])
    )
    half = t_half_width(clusters - 1) * math.sqrt(max(variance, alone))
    if half <= ROUNDING * float(np.max(np.abs(values))):
        ones = int(np.sum(chosen))
        half = math.hypot(unseen_share(ones), unseen_share(len(values) - ones))
    return difference, half


def _first_of(square: Floats, towards: Floats) -> float:
    """First coefficient of normal equations; other columns may repeat each other or be empty."""
    return float(np.linalg.pinv(square, hermitian=True)[0] @ towards)


def deviations(values: Floats) -> Floats:
    """Distances from the median, scaled so that their median is a robust standard deviation."""
    return SCALED_DEVIATION * np.abs(values - np.median(values)) if len(values) else values


@lru_cache(maxsize=4096)
def _binomial_quantile(chance: float, n: int, probability: float) -> int:
    return int(stats.binom.ppf(chance, n, probability))


def _clustered_variance(values: Floats, cluster: Ints) -> tuple[float, int]:
    """Variance of the mean over clusters, and the number of clusters (variance 0 with fewer than two)."""
    labels, index = np.unique(cluster, return_inverse=True)
    clusters = len(labels)
    if clusters < 2:
        return 0.0, clusters
    sums = np.bincount(index, weights=values - np.mean(values), minlength=clusters)
    return clusters / (clusters - 1) * float(np.sum(sums**2)) / len(values) ** 2, clusters


def _design_effect(values: Floats, cluster: Ints) -> tuple[float, int]:
    """How much clusters widen the variance of a mean (1 or more), and the number of clusters."""
    variance, clusters = _clustered_variance(values, cluster)
    alone = float(np.var(values)) / len(values)
    return (max(variance / alone, 1.0) if alone > 0 else 1.0), clusters


def _wilson(share: float, n: float, quantile: float) -> tuple[float, float]:
    square = quantile * quantile / n
    centre = (share + square / 2) / (1 + square)
    half = math.sqrt(square * share * (1 - share) + square * square / 4) / (1 + square)
    return max(0.0, centre - half), min(1.0, centre + half)


def _quantile_figure(
    values: Floats, probability: float, unit: Unit, minimum_n: int, stretch: float
) -> Figure:
    """The quantile between the values of two ranks (1 is the smallest), moved outwards by a factor."""
    n, minimum_n = len(values), max(minimum_n, quantile_minimum(probability))
    if n < minimum_n:
        return Figure.too_few(n, minimum_n, unit)
    centre = n * probability + 0.5
    first = _binomial_quantile((1 - INTERVAL) / 2, n, probability)
    last = _binomial_quantile((1 + INTERVAL) / 2, n, probability) + 1
    low_rank = math.floor(centre - (centre - first) * stretch + ROUNDING)
    high_rank = math.ceil(centre + (last - centre) * stretch - ROUNDING)
    ordered = np.sort(values)
    low = float(ordered[max(low_rank, 1) - 1])
    high = float(ordered[min(high_rank, n) - 1])
    if high == low:
        low, high = low - READ_OFF, high + READ_OFF
    return Figure(float(np.quantile(ordered, probability)), low, high, n, minimum_n, unit)
