"""What became of chances that were stated: how often things said to be 90% likely came true.

A forecast is judged by its Brier score, the mean squared distance of the chance from what happened (1 or 0), which
nobody betters by saying anything but what they believe (Brier 1950, Monthly Weather Review 78). It is set beside the
score of whoever always says how often it happens. The reliability curve shows each range of chances with the share
that came true. What was said of one thing on several days hangs together, so intervals count things, not days.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from golfstats.calc.a_round import ROUND
from golfstats.calc.coaching.belief import Belief
from golfstats.calc.coaching.trends import Trend, forecast_mean
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import Figure, clustered_share_figure, percent
from golfstats.calc.record import Bools, Floats, Ints
from golfstats.sentences import Sentence

EDGES = (0.0, 0.1, 0.25, 0.5, 0.75, 0.9, 1.0)
"""Ranges of chances that are looked at together."""
MINIMUM = 10
"""Fewer forecasts of a range are too few to say how often such came true (our choice)."""
ROUNDS_AHEAD = 5
"""A statement about a level is checked by the mean of so many rounds to come."""
USUAL_ROUNDS = 20
"""What is usual is the level over so many last rounds (our choice, as many as a handicap looks at)."""


@dataclass(frozen=True)
class Forecasts:
    """Chances stated of which it is known what became. Equally long columns."""

    chance: Floats
    came_true: Bools
    about: Ints
    """A number for what was spoken of: the same goal, the same player's putting in one stretch of rounds."""

    def __len__(self) -> int:
        return len(self.chance)

    def select(self, rows: Bools) -> Forecasts:
        return Forecasts(self.chance[rows], self.came_true[rows], self.about[rows])


@dataclass(frozen=True)
class Reliability:
    """Forecasts of one range of chances."""

    low: float
    """Least chance of the range."""
    high: float
    """Greatest chance of the range."""
    said: float
    """Mean chance stated; NaN where none was."""
    came_true: Figure
    """Share that came true."""

    @property
    def words(self) -> str:
        """``When we said 93%, it was so 91% of 212 times.``"""
        if not self.came_true.n:
            return Sentence(
                "Nothing was said to be {low} to {high} likely.",
                low=percent(self.low),
                high=percent(self.high),
            )
        if self.came_true.value is None:
            return Sentence(
                "When we said {percent}: too few, {n} of at least {least} times.",
                percent=percent(self.said),
                n=self.came_true.n,
                least=MINIMUM,
            )
        return Sentence(
            "When we said {percent}, it was so {so} of {n} times.",
            percent=percent(self.said),
            so=Sentence("{percent}%", percent=round(100 * self.came_true.value)),
            n=self.came_true.n,
        )


@dataclass(frozen=True)
class Record:
    """How forecasts did."""

    n: int
    brier: float | None
    """0 is perfect; ``None`` with too few."""
    brier_of_base_rate: float | None
    """Of whoever always says how often it happens. Ours has to be smaller to be worth anything."""
    curve: Sequence[Reliability]


def judge(forecasts: Forecasts) -> Record:
    """The record of some forecasts, "too few" of the ranges below their minimum."""
    n = len(forecasts)
    curve = [_reliability(forecasts, low, high) for low, high in pairwise(EDGES)]
    if n < MINIMUM:
        return Record(n, None, None, curve)
    happened = forecasts.came_true.astype(np.float64)
    base = float(np.mean(happened))
    return Record(n, float(np.mean((forecasts.chance - happened) ** 2)), base * (1 - base), curve)


def _reliability(forecasts: Forecasts, low: float, high: float) -> Reliability:
    top = (forecasts.chance <= high) if high == EDGES[-1] else (forecasts.chance < high)
    here = forecasts.select((forecasts.chance >= low) & top)
    stated = float(np.mean(here.chance)) if len(here) else np.nan
    share = clustered_share_figure(here.came_true.astype(np.float64), here.about, MINIMUM)
    return Reliability(low, high, stated, share)


def chance_of_next_rounds(trend: Trend, today: float, limit: float, better: Better) -> float:
    """Chance that the next five rounds, as far apart as the last ones, are on average better than a limit.

    A level cannot be seen; this can, so that what is said of a level is kept in a form that rounds will judge.
    """
    day = trend.series.day
    apart = np.maximum(np.diff(day[-ROUNDS_AHEAD - 1 :]), 1.0)
    ahead = max(today, float(day[-1])) + np.cumsum(apart)
    weights = np.full(ROUNDS_AHEAD, float(np.mean(trend.series.weight)))
    return forecast_mean(trend, ahead, weights).chance_better_than(limit, better)


def next_round(trend: Trend, day: float) -> Belief:
    """A figure by hole over one round of 18 holes on a day, or on the last round's if that is later."""
    return forecast_mean(trend, np.array([max(day, float(trend.series.day[-1]))]), np.array([float(ROUND)]))


def usual_level(trend: Trend) -> float:
    """What the next round is set beside: the level over the last rounds, courses allowed for as in the forecast."""
    return float(np.mean(trend.levels(max(len(trend.series) - USUAL_ROUNDS, 0)).level))
