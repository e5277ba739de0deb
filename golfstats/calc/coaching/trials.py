"""A trial: does it go better with A than with B (a ball, a club, a shaft, a routine)?

The difference is adjusted for distance and lie by regression and tested by permutation, so no
shape of the shots is assumed. Shots of one round share a day. Where tags change within rounds they
are compared within rounds, and residuals are exchanged within rounds (Freedman and Lane 1983).
Where each round was played with one tag, rounds are the units and tags are exchanged among rounds.
The statistic is the difference over its standard error, and its permutation quantile also gives
the 90% interval, so test and interval agree. (Methods from memory.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Literal

import numpy as np
from scipy import linalg, stats

from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import INTERVAL, Figure, clustered_mean_figure, mean_figure
from golfstats.calc.record import Bools, Floats, Ints

MINIMUM_SHOTS = 10
"""Shots with each tag, where tags change within rounds."""
MINIMUM_FREEDOM = 10
"""Degrees of freedom left by rounds, distance and lie, where tags change within rounds."""
MINIMUM_ROUNDS = 4
"""Rounds with each tag, where they do not: with three, no order of the tags is unusual enough."""
POWER = 0.80
"""The number of shots still needed gives this chance to tell a difference as large as it looks now."""
TOO_LONG = 5000
"""More shots than this and the trial is not worth going on with."""


class Verdict(Enum):
    FIRST = "first"
    SECOND = "second"
    CANNOT_TELL = "cannot_tell"
    TOO_FEW = "too_few"


@dataclass(frozen=True)
class TrialShots:
    """Shots of a trial; equally long columns. Rows with an outcome or a distance of NaN are left out."""

    outcome: Floats
    first: Bools
    """True for tag A, False for tag B."""
    round: Ints
    distance: Floats
    lie: Ints

    def select(self, rows: Bools | Ints) -> TrialShots:
        return TrialShots(
            self.outcome[rows], self.first[rows], self.round[rows], self.distance[rows], self.lie[rows]
        )


@dataclass(frozen=True)
class TrialResult:
    first: Figure
    """Plain mean with tag A, not adjusted."""
    second: Figure
    difference: Figure
    """A minus B, adjusted for distance and lie."""
    p_value: float | None
    unit_of_trial: Literal["shot", "round"]
    verdict: Verdict
    more_shots: int | None
    """Further shots needed to tell; ``None`` if it is told, or would take too many."""

    def words(self, first: str, second: str) -> str:
        """The outcome in a sentence, naming the tags."""
        if self.verdict is Verdict.TOO_FEW:
            return f"Too few shots to compare {first} with {second}."
        if self.verdict is Verdict.CANNOT_TELL:
            return f"This trial cannot tell {first} from {second}. {self._outlook()}"
        better, other = (first, second) if self.verdict is Verdict.FIRST else (second, first)
        return f"{better} is better than {other} by {abs(self.difference.value or 0.0):.2f} {self.difference.unit}."

    def _outlook(self) -> str:
        if self.more_shots is None:
            return "No trial of a sensible length would, the difference looks so small."
        return f"If the difference is what it looks like, about {self.more_shots} more shots would."


@dataclass(frozen=True)
class _Estimate:
    """The difference, its standard error, and the same ratio after each permutation."""

    difference: float
    error: float
    permuted: Floats
    n: int


def side_deviation(offline: Floats, first: Bools) -> Floats:
    """Distance of each shot from the middle line of its tag's shots: the outcome for side spread.

    A tag that only goes further left then does not count as wider (Brown and Forsythe 1974).
    """
    deviation = np.empty_like(offline)
    for tag in (True, False):
        rows = first == tag
        if np.any(rows):
            deviation[rows] = np.abs(offline[rows] - np.nanmedian(offline[rows]))
    return deviation


def run_trial(
    shots: TrialShots, unit: str, better: Better, generator: np.random.Generator, permutations: int = 1999
) -> TrialResult:
    """Compare tag A with tag B on one outcome.

    The kind of round (both tags, or one) that holds most shots is used, the other left out.
    """
    shots = shots.select(np.isfinite(shots.outcome) & np.isfinite(shots.distance))
    mixed = _in_mixed_round(shots)
    within = bool(np.sum(mixed) * 2 >= len(mixed))
    used = shots.select(mixed if within else ~mixed)
    estimate = (
        _within_rounds(used, generator, permutations)
        if within
        else _among_rounds(used, generator, permutations)
    )
    return _result(shots, unit, better, estimate, "shot" if within else "round", len(used.outcome))


def _result(
    shots: TrialShots,
    unit: str,
    better: Better,
    estimate: _Estimate | None,
    kind: Literal["shot", "round"],
    n: int,
) -> TrialResult:
    means = (_plain_mean(shots, shots.first, unit), _plain_mean(shots, ~shots.first, unit))
    if estimate is None:
        return TrialResult(
            *means, Figure.too_few(n, 2 * MINIMUM_SHOTS, unit), None, kind, Verdict.TOO_FEW, None
        )
    ratio = abs(estimate.difference) / estimate.error
    sizes = np.abs(estimate.permuted)
    p_value = (1 + int(np.sum(sizes >= ratio * (1 - 1e-9)))) / (1 + len(sizes))
    half = float(np.quantile(sizes, INTERVAL)) * estimate.error
    difference = Figure(
        estimate.difference,
        estimate.difference - half,
        estimate.difference + half,
        n,
        2 * MINIMUM_SHOTS,
        unit,
    )
    if p_value > 1 - INTERVAL:
        more = _more_shots(estimate)
        return TrialResult(*means, difference, p_value, kind, Verdict.CANNOT_TELL, more)
    first_better = (estimate.difference > 0) == (better == "higher")
    verdict = Verdict.FIRST if first_better else Verdict.SECOND
    return TrialResult(*means, difference, p_value, kind, verdict, None)


def _more_shots(estimate: _Estimate) -> int | None:
    """Shots until the present difference would be told with a chance of 80%; errors shrink as 1/sqrt(n)."""
    z = float(stats.norm.ppf(0.5 + INTERVAL / 2) + stats.norm.ppf(POWER))
    if abs(estimate.difference) * math.sqrt(1 + TOO_LONG / estimate.n) < z * estimate.error:
        return None
    factor = (z * estimate.error / estimate.difference) ** 2
    return max(1, math.ceil(estimate.n * (factor - 1)))


def _plain_mean(shots: TrialShots, rows: Bools, unit: str) -> Figure:
    if len(np.unique(shots.round[rows])) < 2:
        return mean_figure(shots.outcome[rows], unit, MINIMUM_SHOTS)
    return clustered_mean_figure(shots.outcome[rows], shots.round[rows], unit, MINIMUM_SHOTS)


def _in_mixed_round(shots: TrialShots) -> Bools:
    """Whether each shot was played in a round with both tags."""
    rounds, index = np.unique(shots.round, return_inverse=True)
    with_first = np.bincount(index, weights=shots.first, minlength=len(rounds))
    count = np.bincount(index, minlength=len(rounds))
    mixed: Bools = ((with_first > 0) & (with_first < count))[index]
    return mixed


def _covariates(shots: TrialShots, round: Ints) -> Floats:
    """Distance and an indicator of each lie but one, where these vary within a round at all."""
    lies = np.unique(shots.lie)[1:]
    columns = np.column_stack([shots.distance, *[(shots.lie == lie).astype(np.float64) for lie in lies]])
    return columns[:, np.ptp(_less_round_mean(columns, round), axis=0) > 1e-6]


def _less_fitted(values: Floats, covariates: Floats) -> Floats:
    """What linear regression on the covariates leaves of the columns of values."""
    basis = linalg.orth(covariates)
    left: Floats = values - basis @ (basis.T @ values)
    return left


def _less_round_mean(values: Floats, round: Ints) -> Floats:
    """Columns of ``values`` less their mean over the round; rounds numbered from 0."""
    count = np.bincount(round)
    means = np.stack([np.bincount(round, weights=column) / count for column in values.T], axis=1)
    left: Floats = values - means[round]
    return left


def _within_rounds(shots: TrialShots, generator: np.random.Generator, permutations: int) -> _Estimate | None:
    n = len(shots.outcome)
    if min(int(np.sum(shots.first)), int(np.sum(~shots.first))) < MINIMUM_SHOTS:
        return None
    order = np.argsort(shots.round, kind="stable")
    shots = shots.select(order)
    round = np.unique(shots.round, return_inverse=True)[1]
    columns = np.column_stack([shots.first.astype(np.float64), shots.outcome, _covariates(shots, round)])
    columns = _less_round_mean(columns, round)
    tag, outcome = _less_fitted(columns[:, :2], columns[:, 2:]).T
    information = float(tag @ tag)
    freedom = n - 1 - len(np.unique(round)) - (columns.shape[1] - 2)
    if information < 1e-9 * n or freedom < MINIMUM_FREEDOM:
        return None  # round, distance and lie explain (nearly) all
    difference, error = _slopes(outcome[None, :], tag, freedom)
    if error[0] == 0:
        return None
    shuffled = np.argsort(round + generator.random((permutations, n)), axis=1)
    exchanged = _less_fitted(outcome[shuffled].T, columns[:, 2:]).T
    permuted, permuted_error = _slopes(exchanged, tag, freedom)
    ratio = permuted / np.maximum(permuted_error, 1e-12 * error[0])
    return _Estimate(float(difference[0]), float(error[0]), ratio, n)


def _slopes(outcomes: Floats, tag: Floats, freedom: int) -> tuple[Floats, Floats]:
    """Slope of each row of outcomes on the tag, and its error where the two spreads differ.

    White's estimator (1980), scaled by n over the degrees of freedom (MacKinnon and White 1985).
    """
    information = float(tag @ tag)
    slope = outcomes @ tag / information
    residual = outcomes - slope[:, None] * tag
    return slope, np.sqrt(residual**2 @ tag**2 * len(tag) / freedom) / information


def _among_rounds(shots: TrialShots, generator: np.random.Generator, permutations: int) -> _Estimate | None:
    _, start, round = np.unique(shots.round, return_index=True, return_inverse=True)
    first = shots.first[start]
    if min(int(np.sum(first)), int(np.sum(~first))) < MINIMUM_ROUNDS:
        return None
    covariates = _covariates(shots, round)
    centred = _less_round_mean(np.column_stack([shots.outcome, covariates]), round)
    slopes = np.linalg.lstsq(centred[:, 1:], centred[:, 0], rcond=None)[0]
    adjusted = shots.outcome - (covariates - np.mean(covariates, axis=0)) @ slopes
    count = np.bincount(round).astype(np.float64)
    total = np.bincount(round, weights=adjusted).astype(np.float64)
    difference, error = _round_differences(first[None, :], total, count)
    if error[0] == 0:
        return None
    shuffled = generator.permuted(np.tile(first, (permutations, 1)), axis=1)
    permuted, permuted_error = _round_differences(shuffled, total, count)
    ratio = permuted / np.maximum(permuted_error, 1e-12 * error[0])
    return _Estimate(float(difference[0]), float(error[0]), ratio, len(shots.outcome))


def _round_differences(first: Bools, total: Floats, count: Floats) -> tuple[Floats, Floats]:
    """Mean a shot with A minus with B for each row of round tags, and its error with rounds as clusters."""
    means, variances = [], []
    for tags in (first.astype(np.float64), (~first).astype(np.float64)):
        shots, rounds = tags @ count, np.sum(tags, axis=1)
        mean = tags @ total / shots
        squares = tags @ total**2 - 2 * mean * (tags @ (total * count)) + mean**2 * (tags @ count**2)
        means.append(mean)
        variances.append(rounds / (rounds - 1) * squares / shots**2)
    return means[0] - means[1], np.sqrt(np.maximum(variances[0] + variances[1], 0))
