"""The common shape of every statistic: observations, and a statistic over them.

A green hit, the strokes gained of one shot, the putts of one round are observations: a value,
the round it belongs to, and the shot or hole it came from. A :class:`FigureSpec` names a figure
and says how to observe it in a record. From the same observations come the figure over a window,
its series by round (trends, goals), the comparison of two players, and the shots behind it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from golfstats.calc.figure import Figure, clustered_mean_figure, mean_figure
from golfstats.calc.record import Bools, Floats, Ints, Record


@dataclass(frozen=True)
class Observations:
    """Equally long columns: value, row of the round, row of the hole and of the shot (UNKNOWN if none)."""

    value: Floats
    round: Ints
    hole: Ints
    shot: Ints

    def __len__(self) -> int:
        return len(self.value)

    def select(self, rows: Bools | Ints) -> Observations:
        return Observations(self.value[rows], self.round[rows], self.hole[rows], self.shot[rows])

    def by_round(self) -> tuple[Ints, Floats, Ints]:
        """Rounds that have any observation, their mean value, and the number of observations in each."""
        rounds, index, counts = np.unique(self.round, return_inverse=True, return_counts=True)
        return rounds, np.bincount(index, weights=self.value) / counts, counts


@dataclass(frozen=True)
class AnalysedRecord:
    """A record with the strokes gained of its shots against the chosen benchmark."""

    record: Record
    strokes_gained: Floats
    """One value a shot; NaN where the hole's shots are not complete."""
    part: Ints
    """Part of the game of each shot (:class:`~golfstats.calc.vocabulary.Part`)."""


@dataclass(frozen=True)
class FigureSpec:
    """A named figure: what it is called, in what unit, which way is better, and how to observe it."""

    key: str
    words: str
    unit: str
    better: Literal["higher", "lower"]
    per: Literal["shot", "hole", "round"]
    statistic: Literal["mean", "median"]
    minimum_n: int
    observe: Callable[[AnalysedRecord], Observations]

    def figure(self, observations: Observations) -> Figure:
        """The figure over all the given observations, with a 90% interval that respects rounds."""
        if self.statistic == "median":
            return median_figure(observations.value, self.unit, self.minimum_n)
        if self.per == "round":
            return mean_figure(observations.value, self.unit, self.minimum_n)
        return clustered_mean_figure(observations.value, observations.round, self.unit, self.minimum_n)


def median_figure(values: Floats, unit: str, minimum_n: int = 6) -> Figure:
    """Median with the distribution-free interval between order statistics.

    The ranks come from the normal approximation to the binomial(n, 1/2) (Conover, Practical
    Nonparametric Statistics, from memory), so the interval needs no assumption on the shape.
    """
    n = len(values)
    if n < max(minimum_n, 6):
        return Figure.too_few(n, minimum_n, unit)
    ordered = np.sort(values)
    half = 1.645 * np.sqrt(n) / 2
    low_rank = max(int(np.floor(n / 2 - half)) - 1, 0)
    high_rank = min(int(np.ceil(n / 2 + half)), n - 1)
    return Figure(
        float(np.median(ordered)), float(ordered[low_rank]), float(ordered[high_rank]), n, minimum_n, unit
    )
