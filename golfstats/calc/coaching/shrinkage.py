"""Groups judged together: estimates drawn towards each other as far as chance alone would spread them.

Of several noisy losses the largest looks larger than it is, because it was picked for being large. With
estimates y of the groups' true values θ, y ~ N(θ, V) and θ_i = μ + τ u_i, each group is drawn towards the rest
by what the data say about τ; what is then believed about the largest needs no further correction (empirical
Bayes: Morris 1983; for rankings Goldstein and Spiegelhalter 1996 and Lin et al. 2006, from memory). Four parts of
the game say little about τ, so it is integrated out under the uniform-shrinkage prior (Daniels 1999, from memory):
every share of shrinkage is as likely as any other beforehand. The u_i have heavy tails.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special, stats

from golfstats.calc.record import Floats, Ints

LOG_RATIOS: Floats = np.linspace(-2.5, 4.0, 27)
"""Grid of ln(τ / usual standard error)."""
CENTRES = 41
"""Points of the grid of μ."""
TAILS: Floats = 1 / stats.chi2.ppf((np.arange(12) + 0.5) / 12, 1)
"""Scales² of twelve equally likely normal distributions that together stand for a Cauchy distribution: one truly
bad group among many stays what it is, where a normal distribution would draw it in."""
SMALLEST_VARIANCE = 1e-12
"""Strokes², for groups in which every round lost the same."""


@dataclass(frozen=True)
class Together:
    """Draws of all groups' true values at once; shape (draws, groups)."""

    draws: Floats

    @property
    def mean(self) -> Floats:
        mean: Floats = np.mean(self.draws, axis=0)
        return mean

    def quantile(self, probability: float) -> Floats:
        quantile: Floats = np.quantile(self.draws, probability, axis=0)
        return quantile

    def chance_positive(self) -> Floats:
        """Draws that all agree leave a chance of otherwise (Jeffreys' prior: half a draw each way)."""
        chance: Floats = (np.sum(self.draws > 0, axis=0) + 0.5) / (len(self.draws) + 1)
        return chance

    def chance_first(self) -> Floats:
        """Chance of each group that its true value is the largest; half a draw each beside those that were drawn."""
        draws, groups = self.draws.shape
        largest = np.argmax(self.draws, axis=1)
        chance: Floats = (np.bincount(largest, minlength=groups) + 0.5) / (draws + groups / 2)
        return chance

    def chance_above(self) -> Floats:
        """Element (i, j): chance that group i is truly above group j."""
        above: Floats = np.mean(self.draws[:, :, None] > self.draws[:, None, :], axis=0)
        return above


def judge_together(
    estimate: Floats, covariance: Floats, freedom: int, generator: np.random.Generator, draws: int = 1000
) -> Together:
    """What is believed about the groups' true values.

    ``freedom`` are the degrees of freedom behind the covariance; the doubt about it widens the draws as in Student's t.
    What all estimates have wrong in common (form) moves μ and nothing else, so it is drawn by itself: of the
    covariances their mean. A group alone is not drawn anywhere.
    """
    groups = len(estimate)
    variance = np.diag(covariance) + SMALLEST_VARIANCE
    stretch = np.sqrt(freedom / generator.chisquare(freedom, draws))[:, None]
    if groups == 1:
        return Together(estimate + np.sqrt(variance) * stretch * generator.standard_normal((draws, 1)))
    common = _common_variance(covariance, variance)
    own = variance - common
    centre, spread, which = _drawn_parents(estimate, own, draws, generator)
    prior = spread[:, None] ** 2 * TAILS[which]
    kept = own / (own + prior)
    mean = estimate - kept * (estimate - centre[:, None])
    noise = np.sqrt(prior * kept) * generator.standard_normal((draws, groups))
    noise += np.sqrt(common) * generator.standard_normal((draws, 1))
    return Together(mean + stretch * noise)


def _common_variance(covariance: Floats, variance: Floats) -> float:
    groups = len(variance)
    between = (float(np.sum(covariance)) - float(np.sum(np.diag(covariance)))) / (groups * (groups - 1))
    return min(max(between, 0.0), 0.9 * float(np.min(variance)))


def _drawn_parents(
    estimate: Floats, variance: Floats, draws: int, generator: np.random.Generator
) -> tuple[Floats, Floats, Ints]:
    """Draws of μ, of τ and of each group's tail component, from the exact posterior on a grid of (τ, μ)."""
    usual = float(np.exp(np.mean(np.log(variance)) / 2))
    spread = usual * np.exp(LOG_RATIOS)
    margin = 2 * usual
    centre, step = np.linspace(np.min(estimate) - margin, np.max(estimate) + margin, CENTRES, retstep=True)
    total = variance[:, None] + spread[:, None, None, None] ** 2 * TAILS  # τ, (μ), group, tail
    away = (estimate - centre[:, None])[None, :, :, None]
    log_density = -0.5 * (np.log(total) + away**2 / total)  # τ, μ, group, tail
    by_group = special.logsumexp(log_density, axis=-1)
    # uniform in the shrinkage s² / (s² + τ²), times τ as the grid is even in ln τ
    log_prior = 2 * np.log(spread) - 2 * np.log(usual**2 + spread**2)
    log_weight = np.sum(by_group, axis=-1) + log_prior[:, None]
    weight = np.exp(log_weight - np.max(log_weight)).ravel()
    cell = generator.choice(weight.size, draws, p=weight / np.sum(weight))
    row, column = np.divmod(cell, CENTRES)
    tail = np.exp(log_density[row, column] - by_group[row, column][..., None])
    beyond = generator.random((draws, len(estimate), 1)) > np.cumsum(tail, axis=-1)
    which = np.minimum(np.sum(beyond, axis=-1), len(TAILS) - 1)
    drawn_centre = centre[column] + step * (generator.random(draws) - 0.5)
    return drawn_centre, spread[row], which
