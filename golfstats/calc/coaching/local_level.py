"""Kalman filter and smoother of the local-level model on irregular dates.

    value_i = level_i + noise_i,            noise_i ~ N(0, s² / weight_i)
    level_i = level_{i-1} + step_i,         step_i  ~ N(0, s² · drift · days between)

``drift`` is the variance the level gains in a day, in units of the noise variance ``s²`` of a
round of weight 1. All variances here are in units of ``s²``, which therefore drops out of the
recursions and is estimated from the innovations. Everything runs over a column of drifts at
once, so that the drift can be integrated out on a grid. The first observation starts the level
(exact diffuse start). Durbin and Koopman, Time Series Analysis by State Space Methods, 2nd ed.
2012, chapter 2 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Floats


@dataclass(frozen=True)
class Filtered:
    """Arrays of shape (rows, drifts). A row of weight 0 is a date without an observation."""

    level: Floats
    variance: Floats
    predicted_variance: Floats
    innovation: Floats
    innovation_variance: Floats
    """Infinite at the first row and at rows of weight 0, which say nothing about the fit."""

    def residual_sum(self) -> Floats:
        """Sum over rows of squared standardised innovations; shape (drifts,)."""
        total: Floats = np.sum(self.innovation**2 / self.innovation_variance, axis=0)
        return total

    def log_variances(self) -> Floats:
        """Sum over observed rows of the logarithm of the innovation's variance; shape (drifts,)."""
        observed = np.isfinite(self.innovation_variance[:, 0])
        total: Floats = np.sum(np.log(self.innovation_variance[observed]), axis=0)
        return total

    def log_likelihood(self, noise: float) -> Floats:
        """Diffuse log-likelihood at noise variance ``noise``, given the first row; shape (drifts,)."""
        terms = int(np.sum(np.isfinite(self.innovation_variance[:, 0])))
        fit: Floats = self.log_variances() + self.residual_sum() / noise
        log_likelihood: Floats = -0.5 * (terms * np.log(2 * np.pi * noise) + fit)
        return log_likelihood


@dataclass(frozen=True)
class Smoothed:
    """Level given all rows: mean and variance, shape (rows, drifts)."""

    level: Floats
    variance: Floats
    gain: Floats
    """How far a change of the next row's level carries back to this row's."""

    def covariance(self, earlier: int, later: int) -> Floats:
        """Joint covariance of the levels at two rows given all observations; shape (drifts,)."""
        carried: Floats = np.prod(self.gain[earlier:later], axis=0) * self.variance[later]
        return carried


def filter_levels(day: Floats, value: Floats, weight: Floats, drift: Floats) -> Filtered:
    """Kalman filter. ``day`` ascends, ``weight`` >= 0 and the first one > 0."""
    rows, drifts = len(day), len(drift)
    level = np.empty((rows, drifts))
    variance = np.empty((rows, drifts))
    predicted_variance = np.empty((rows, drifts))
    innovation = np.zeros((rows, drifts))
    innovation_variance = np.full((rows, drifts), np.inf)
    level[0] = value[0]
    variance[0] = predicted_variance[0] = 1 / weight[0]
    for row in range(1, rows):
        predicted_variance[row] = variance[row - 1] + drift * (day[row] - day[row - 1])
        if weight[row] == 0:
            level[row] = level[row - 1]
            variance[row] = predicted_variance[row]
            continue
        innovation[row] = value[row] - level[row - 1]
        innovation_variance[row] = predicted_variance[row] + 1 / weight[row]
        gain = predicted_variance[row] / innovation_variance[row]
        level[row] = level[row - 1] + gain * innovation[row]
        variance[row] = gain / weight[row]
    return Filtered(level, variance, predicted_variance, innovation, innovation_variance)


def smooth_levels(filtered: Filtered) -> Smoothed:
    """Fixed-interval smoother (Rauch, Tung and Striebel 1965)."""
    level, variance = filtered.level.copy(), filtered.variance.copy()
    gain = filtered.variance[:-1] / filtered.predicted_variance[1:]
    for row in range(len(level) - 2, -1, -1):
        level[row] += gain[row] * (level[row + 1] - filtered.level[row])
        variance[row] += gain[row] ** 2 * (variance[row + 1] - filtered.predicted_variance[row + 1])
    return Smoothed(level, variance, gain)


def step_scores(filtered: Filtered) -> tuple[Floats, Floats]:
    """Score and information of a step of the level that begins at each row; shape (rows, drifts).

    The best step is score / information, and it lowers the residual sum by score² / information:
    the auxiliary residuals of the state (Harvey and Koopman 1992; de Jong and Penzer 1998, from
    memory). The first row's are zero, a step there being the start itself.
    """
    score = np.zeros_like(filtered.level)
    information = np.zeros_like(filtered.level)
    kept = 1 - filtered.predicted_variance / filtered.innovation_variance
    following_score = following_information = np.zeros(filtered.level.shape[1])
    for row in range(len(score) - 1, 0, -1):
        following_score = (
            filtered.innovation[row] / filtered.innovation_variance[row] + kept[row] * following_score
        )
        following_information = 1 / filtered.innovation_variance[row] + kept[row] ** 2 * following_information
        score[row], information[row] = following_score, following_information
    return score, information
