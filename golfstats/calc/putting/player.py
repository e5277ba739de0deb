"""A player's own putting: the spread of direction and of distance control, with 90% intervals.

The logarithms of the two spreads are taken to be normal over the golfers of a club. Mean and
covariance of that prior come from the club's own putts (empirical Bayes by the EM algorithm), and
each player's posterior is a normal distribution at its mode (Laplace's method). So forty putts give
a cautious answer close to the club, and two thousand the player's own (partial pooling; Gelman et
al., Bayesian Data Analysis, chapter 5, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import RectBivariateSpline

from golfstats.calc.figure import NORMAL_QUANTILE, Figure
from golfstats.calc.putting.likelihood import LOG_DIRECTION, LOG_DISTANCE, Putts, log_likelihood
from golfstats.calc.putting.outcomes import putting_outcomes
from golfstats.calc.record import Floats

MINIMUM_PUTTS = 20
"""Fewer putts say next to nothing beside the prior (our choice)."""


@dataclass(frozen=True)
class SpreadPrior:
    """Normal distribution of (log direction spread in radians, log distance spread) over golfers."""

    mean: Floats
    covariance: Floats


USUAL_PRIOR = SpreadPrior(np.log([np.radians(1.7), 0.13]), np.diag([0.3**2, 0.3**2]))
"""Before any putt is seen: 1.7 degrees and 13%, two thirds of golfers within a factor of 1.35.

Our estimate. Professionals are at 1.02 degrees and 8% (Gelman 2019); good club players' distances
spread by 10.6% (Karlsen and Nilsson 2008).
"""
USUAL_PRIOR_PLAYERS = 4
"""The usual prior counts as much as this many players of the club with endless putts."""


@dataclass(frozen=True)
class PlayerSpreads:
    """A player's two spreads, for people as figures and for calculations as a normal distribution."""

    player: int
    putts: int
    direction: Figure
    """Degrees."""
    distance: Figure
    """Percent of the roll."""
    log_mean: Floats
    """Of (log direction spread in radians, log distance spread as a fraction)."""
    log_covariance: Floats


@dataclass(frozen=True)
class ClubPutting:
    """The club's prior and every player's spreads under it, by player number."""

    prior: SpreadPrior
    players: tuple[PlayerSpreads, ...]


@dataclass(frozen=True)
class OutcomeFigures:
    """A player's outcomes from one first-putt distance, each with its interval."""

    distance_ft: float
    expected_putts: Figure
    one: Figure
    two: Figure
    three_or_more: Figure


def pool(putts: Putts) -> ClubPutting:
    """Spreads of all players of a club, partially pooled.

    ``putts.player`` numbers the players from 0; a number without putts gets the prior.
    """
    counts = np.bincount(putts.player)
    surfaces = [_Surface(values) for values in log_likelihood(putts)]
    prior = _fit_prior([surface for surface, n in zip(surfaces, counts, strict=True) if n])
    players = tuple(
        _spreads(number, int(n), surface, prior)
        for number, (surface, n) in enumerate(zip(surfaces, counts, strict=True))
    )
    return ClubPutting(prior, players)


def player_spreads(putts: Putts, prior: SpreadPrior = USUAL_PRIOR) -> PlayerSpreads:
    """Spreads of one player under a given prior (the club's, once fitted). All putts count as his."""
    own = Putts(np.zeros(len(putts), dtype=np.int64), putts.distance_ft, putts.holed, putts.leave_ft)
    if not len(own):
        return _summary(0, 0, prior.mean, prior.covariance)
    return _spreads(0, len(own), _Surface(log_likelihood(own)[0]), prior)


def outcome_figures(spreads: PlayerSpreads, distance_ft: Floats) -> list[OutcomeFigures]:
    """Expected putts and one-, two- and three-putt chances of a player from each distance.

    The interval follows the uncertainty of the two spreads to first order (delta method, differences
    over one standard deviation), on the log-odds scale for chances so that they stay within 0 and 1.
    """
    centre = _outcome_scales(spreads.log_mean, distance_ft)
    variance = np.zeros_like(centre)
    for move in np.linalg.cholesky(spreads.log_covariance).T:
        up = _outcome_scales(spreads.log_mean + move, distance_ft)
        down = _outcome_scales(spreads.log_mean - move, distance_ft)
        variance += ((up - down) / 2) ** 2
    half = NORMAL_QUANTILE * np.sqrt(variance)
    low, value, high = (_from_scales(scale) for scale in (centre - half, centre, centre + half))
    return [
        OutcomeFigures(
            float(feet),
            *(
                _figure(value[row, k], low[row, k], high[row, k], spreads.putts, unit)
                for k, unit in enumerate(("putts", "share", "share", "share"))
            ),
        )
        for row, feet in enumerate(distance_ft)
    ]


class _Surface:
    """A player's log-likelihood over the two log spreads, smooth between the points of the grid."""

    def __init__(self, values: Floats) -> None:
        self.values = values
        self.spline = RectBivariateSpline(LOG_DIRECTION, LOG_DISTANCE, values)

    def gradient(self, at: Floats) -> Floats:
        return np.array([self._derivative(at, 1, 0), self._derivative(at, 0, 1)])

    def information(self, at: Floats) -> Floats:
        """Minus the second derivatives, without the directions in which the putts say nothing."""
        mixed = self._derivative(at, 1, 1)
        hessian = np.array([[self._derivative(at, 2, 0), mixed], [mixed, self._derivative(at, 0, 2)]])
        size, direction = np.linalg.eigh(-hessian)
        information: Floats = (direction * np.maximum(size, 0.0)) @ direction.T
        return information

    def _derivative(self, at: Floats, first: int, second: int) -> float:
        return float(self.spline.ev(at[0], at[1], dx=first, dy=second))


def _fit_prior(surfaces: list[_Surface]) -> SpreadPrior:
    """Mean and covariance over players by EM, with the usual prior as a few more players."""
    prior = USUAL_PRIOR
    for _ in range(200):
        means, covariances = _posteriors(surfaces, prior)
        updated = _refit(means, covariances)
        moved = np.abs(updated.mean - prior.mean).max() + np.abs(updated.covariance - prior.covariance).max()
        prior = updated
        if moved < 1e-4:
            break
    return prior


def _posteriors(surfaces: list[_Surface], prior: SpreadPrior) -> tuple[Floats, Floats]:
    pairs = [_posterior(surface, prior) for surface in surfaces]
    means = np.array([mean for mean, _ in pairs]).reshape(-1, 2)
    return means, np.array([covariance for _, covariance in pairs]).reshape(-1, 2, 2)


def _refit(means: Floats, covariances: Floats) -> SpreadPrior:
    players = USUAL_PRIOR_PLAYERS + len(means)
    mean = (USUAL_PRIOR_PLAYERS * USUAL_PRIOR.mean + means.sum(axis=0)) / players
    away = means - mean
    usual_away = USUAL_PRIOR.mean - mean
    scatter = (
        USUAL_PRIOR_PLAYERS * (USUAL_PRIOR.covariance + np.outer(usual_away, usual_away))
        + covariances.sum(axis=0)
        + away.T @ away
    )
    return SpreadPrior(mean, scatter / players)


def _posterior(surface: _Surface, prior: SpreadPrior) -> tuple[Floats, Floats]:
    """Mode of likelihood times prior, by Newton's method from the best grid point, and its covariance."""
    precision = np.linalg.inv(prior.covariance)
    away = np.stack(np.meshgrid(LOG_DIRECTION, LOG_DISTANCE, indexing="ij"), axis=-1) - prior.mean
    on_grid = surface.values - 0.5 * np.einsum("abi,ij,abj->ab", away, precision, away)
    row, column = np.unravel_index(np.argmax(on_grid), on_grid.shape)
    at = np.array([LOG_DIRECTION[row], LOG_DISTANCE[column]])
    low, high = np.array([LOG_DIRECTION[0], LOG_DISTANCE[0]]), np.array([LOG_DIRECTION[-1], LOG_DISTANCE[-1]])
    for _ in range(30):
        slope = surface.gradient(at) - precision @ (at - prior.mean)
        step = np.linalg.solve(surface.information(at) + precision, slope)
        at = np.clip(at + np.clip(step, -0.2, 0.2), low, high)
        if np.abs(step).max() < 1e-5:
            break
    return at, np.linalg.inv(surface.information(at) + precision)


def _spreads(player: int, n: int, surface: _Surface, prior: SpreadPrior) -> PlayerSpreads:
    if n == 0:
        return _summary(player, 0, prior.mean, prior.covariance)
    return _summary(player, n, *_posterior(surface, prior))


def _summary(player: int, n: int, log_mean: Floats, log_covariance: Floats) -> PlayerSpreads:
    half = NORMAL_QUANTILE * np.sqrt(np.diag(log_covariance))
    low, value, high = np.exp(log_mean - half), np.exp(log_mean), np.exp(log_mean + half)
    degrees, percent = 180 / np.pi, 100.0
    return PlayerSpreads(
        player=player,
        putts=n,
        direction=_figure(degrees * value[0], degrees * low[0], degrees * high[0], n, "degrees"),
        distance=_figure(percent * value[1], percent * low[1], percent * high[1], n, "percent"),
        log_mean=log_mean,
        log_covariance=log_covariance,
    )


def _figure(value: float, low: float, high: float, n: int, unit: str) -> Figure:
    if n < MINIMUM_PUTTS:
        return Figure.too_few(n, MINIMUM_PUTTS, unit)
    return Figure(float(value), float(low), float(high), n, MINIMUM_PUTTS, unit)


def _outcome_scales(log_spreads: Floats, distance_ft: Floats) -> Floats:
    """Columns: log of expected putts beyond the first, log-odds of one, two, and three or more."""
    outcomes = putting_outcomes(distance_ft, *(float(spread) for spread in np.exp(log_spreads)))
    tiny = 1e-12
    chances = np.clip(np.stack([outcomes.one, outcomes.two, outcomes.three_or_more], axis=1), tiny, 1 - tiny)
    more = np.log(np.maximum(outcomes.expected_putts - 1.0, tiny))
    return np.column_stack([more, np.log(chances) - np.log1p(-chances)])


def _from_scales(scales: Floats) -> Floats:
    return np.column_stack([1.0 + np.exp(scales[:, 0]), 1.0 / (1.0 + np.exp(-scales[:, 1:]))])
