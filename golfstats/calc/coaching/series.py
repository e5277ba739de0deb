"""The values of rounds in order, and what else moves them: what a trend is fitted to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np

from golfstats.calc.observations import Observations
from golfstats.calc.record import Floats, Ints

EFFECT_VARIANCE = 0.5
"""Prior variance of a course's effect, in units of a round's variance (our judgement)."""
SLOPE_VARIANCE = 1.5
"""Prior variance of what a level climbs steadily in a year, in units of a round's variance (our judgement). A walk
alone trails behind who climbs all the time, the more so where form lasts and may as well be form."""
YEAR = 365.0


@dataclass(frozen=True)
class Series:
    """Rounds in order: day number, the round's value, and its weight (its number of observations)."""

    day: Floats
    value: Floats
    weight: Floats
    covariates: Floats | None = None
    """What else moves a round's value, a row a round, about zero (see :func:`course_columns`)."""
    doubt: Floats | None = None
    """Standard deviation of what was taken off each value, in its unit: all values are wrong by one unknown number
    of these. 0 of a value that is just what was observed."""

    @classmethod
    def of(
        cls,
        observations: Observations,
        day_of_round: Ints,
        *,
        median: bool = False,
        covariates: Floats | None = None,
        doubt: Floats | None = None,
    ) -> Self:
        """The value by round of a figure: the mean, or the median, of the round's observations.

        ``day_of_round`` is the day number of each row of ``Rounds``; ``covariates`` and ``doubt`` have a row for
        each, too.
        """
        rounds, value, count = observations.by_round
        if median:
            value = np.array([np.median(observations.value[observations.round == row]) for row in rounds])
        day = day_of_round[rounds].astype(np.float64)
        order = np.argsort(day, kind="stable")
        chosen = None if covariates is None else centred(covariates[rounds[order]])
        doubted = None if doubt is None or not np.any(doubt[rounds]) else doubt[rounds[order]]
        return cls(day[order], value[order], count[order].astype(np.float64), chosen, doubted)

    def __len__(self) -> int:
        return len(self.day)

    def relative_weight(self) -> Floats:
        """Weights with mean 1, so that the drift compares with the noise of a usual round."""
        return self.weight / np.mean(self.weight)

    def columns(self) -> Floats:
        """Values, covariates, their doubt and the years side by side; rows × columns."""
        beside = [one for one in (self.covariates, self.doubt) if one is not None]
        return np.column_stack([self.value, *beside, self.years()])

    def years(self) -> Floats:
        """From the last round to each: what the slope is multiplied by. Nobody is said to climb on after the last."""
        years: Floats = (self.day - self.day[-1]) / YEAR
        return years

    def effect_variances(self) -> Floats:
        """Prior variance of the effect of each column beside the values, in units of a round's variance.

        The unknown number of a doubt is standard normal. A round's variance is taken from the differences of
        neighbouring rounds (von Neumann), as a level may wander: where these are alike for a while that is too
        small, and the doubt too large.
        """
        courses = 0 if self.covariates is None else self.covariates.shape[1]
        prior = np.full(courses, EFFECT_VARIANCE)
        if self.doubt is not None:
            variance = float(np.mean(np.diff(self.value) ** 2)) / 2
            prior = np.append(prior, 1 / max(variance, 1e-12))
        return np.append(prior, SLOPE_VARIANCE)


def course_columns(*codes: Ints) -> Floats:
    """Indicators of the courses (tees, …) of all rounds for ``Series.of``.

    A code met once says nothing and has none; neither has -1, which stands for what is usual.
    """
    columns = [
        (code == label).astype(np.float64)
        for code in codes
        for label, times in zip(*np.unique(code, return_counts=True), strict=True)
        if times > 1 and label >= 0
    ]
    rounds = len(codes[0]) if codes else 0
    return np.stack(columns, axis=1) if columns else np.zeros((rounds, 0))


def centred(columns: Floats) -> Floats | None:
    """About zero, without the columns that are the same in every round; ``None`` if none is left."""
    varying = columns[:, np.ptp(columns, axis=0) > 0] if len(columns) else columns[:, :0]
    return varying - np.mean(varying, axis=0) if varying.shape[1] else None
