"""A player's own putting: the spread of direction and of distance control, with 90% intervals.

The logarithms of the two spreads are taken to be normal over the golfers of a club. Mean and
covariance of that prior come from the club's own putts (empirical Bayes by the EM algorithm), and
each player's posterior is a normal distribution at its mode (Laplace's method). So forty putts give
a cautious answer close to the club, and two thousand the player's own (partial pooling; Gelman et
al., Bayesian Data Analysis, chapter 5, from memory). What the two spreads cannot describe is corrected by
distance (:mod:`~golfstats.calc.putting.misfit`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import RectBivariateSpline

from golfstats.calc.figure import NORMAL_QUANTILE, Figure
from golfstats.calc.putting.likelihood import LOG_DIRECTION, LOG_DISTANCE, Putts, log_likelihood
from golfstats.calc.putting.misfit import (
    EXTRA,
    MAKE,
    NO_PUTTS,
    THREE,
    Misfit,
    corrected_scales,
    misfit_of,
    scales_of,
)
from golfstats.calc.putting.outcomes import Chain
from golfstats.calc.record import Floats
from golfstats.calc.units import Unit

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
    misfit: Misfit = NO_PUTTS
    """What the spreads leave of the player's putts, by distance."""


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
    """Spreads of one player under a given prior (the club's, once fitted). All putts count as theirs."""
    own = replace(putts, player=np.zeros(len(putts), dtype=np.int64))
    if not len(own):
        return _summary(0, 0, prior.mean, prior.covariance)
    mean, covariance = _posterior(_Surface(log_likelihood(own)[0]), prior)
    direction_sd, distance_sd = (float(spread) for spread in np.exp(mean))
    misfit = misfit_of(own, direction_sd, distance_sd)
    wider = np.sqrt(misfit.stretch)
    return replace(
        _summary(0, len(own), mean, covariance * np.outer(wider, wider)),
        misfit=misfit,
    )


def outcome_figures(spreads: PlayerSpreads, distance_ft: Floats) -> list[OutcomeFigures]:
    """Expected putts and one-, two- and three-putt chances of a player from each distance.

    The model's values with the player's corrections by distance. The interval follows the uncertainty of the two
    spreads to first order (delta method, differences over one standard deviation) and of the corrections, on the
    log-odds scale for chances so that they stay within 0 and 1; few rounds widen it. Chances of one, two and three
    or more putts sum to 1.
    """
    centre, variance = corrected_scales(distance_ft, np.exp(spreads.log_mean), spreads.misfit)
    plain = scales_of(_chain(spreads.log_mean, distance_ft).outcomes())
    for move in np.linalg.cholesky(spreads.log_covariance).T:
        moved = scales_of(_chain(spreads.log_mean + move, distance_ft).outcomes())
        variance += (moved - plain) ** 2
    half = spreads.misfit.quantile * np.sqrt(variance)
    low, value, high = (_from_scales(scale) for scale in (centre - half, centre, centre + half))
    two = _two_putts(value, low, high)
    return [
        OutcomeFigures(
            distance_ft=float(feet),
            expected_putts=_scale_figure(value[row], low[row], high[row], EXTRA, spreads.putts),
            one=_scale_figure(value[row], low[row], high[row], MAKE, spreads.putts),
            two=_figure(two[row, 0], two[row, 1], two[row, 2], spreads.putts, Unit.SHARE),
            three_or_more=_scale_figure(value[row], low[row], high[row], THREE, spreads.putts),
        )
        for row, feet in enumerate(distance_ft)
    ]


def own_moves(spreads: PlayerSpreads, distance_ft: Floats) -> Floats:
    """By how much a player's putts move the log odds of one putt and of three or more from what their two spreads give;
    distances × the two.
    """
    corrected, _ = corrected_scales(distance_ft, np.exp(spreads.log_mean), spreads.misfit)
    plain = scales_of(_chain(spreads.log_mean, distance_ft).outcomes())
    return (corrected - plain)[:, [MAKE, THREE]]


def _scale_figure(value: Floats, low: Floats, high: Floats, scale: int, putts: int) -> Figure:
    unit = Unit.PUTTS if scale == EXTRA else Unit.SHARE
    return _figure(float(value[scale]), float(low[scale]), float(high[scale]), putts, unit)


def _two_putts(value: Floats, low: Floats, high: Floats) -> Floats:
    """Columns: the rest of one and of three putts or more, and its interval, the two doubts taken as independent."""
    two = 1 - value[:, MAKE] - value[:, THREE]
    below = np.hypot(high[:, MAKE] - value[:, MAKE], high[:, THREE] - value[:, THREE])
    above = np.hypot(value[:, MAKE] - low[:, MAKE], value[:, THREE] - low[:, THREE])
    return np.clip(np.column_stack([two, two - below, two + above]), 0.0, 1.0)


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
        direction=_figure(degrees * value[0], degrees * low[0], degrees * high[0], n, Unit.DEGREES),
        distance=_figure(percent * value[1], percent * low[1], percent * high[1], n, Unit.PERCENT),
        log_mean=log_mean,
        log_covariance=log_covariance,
    )


def _figure(value: float, low: float, high: float, n: int, unit: Unit) -> Figure:
    if n < MINIMUM_PUTTS:
        return Figure.too_few(n, MINIMUM_PUTTS, unit)
    return Figure(float(value), float(low), float(high), n, MINIMUM_PUTTS, unit)


def _chain(log_spreads: Floats, distance_ft: Floats) -> Chain:
    return Chain(distance_ft, *(float(spread) for spread in np.exp(log_spreads)))


def _from_scales(scales: Floats) -> Floats:
    values = 1.0 / (1.0 + np.exp(-scales))
    values[:, EXTRA] = 1.0 + np.exp(scales[:, EXTRA])
    return values
