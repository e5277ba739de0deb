"""A player's patterns from their own full swings, learnt hierarchically.

Length, spread of the length, bias and spread of the direction of each club are the usual ones of the handicap, times
(plus, for the bias) a part that all clubs of the player share and a part of the club's own, both normal around nothing.
So forty measured drives say much about the driver, something about the 3-wood, and little about the wedges. Shots
follow the mixture of :mod:`~golfstats.calc.plan.shots.pattern`; the mode of likelihood times prior and its curvature
(Laplace's method) give the estimate and what is not known of it. Spreads of the two priors are our estimates.

Swings of one round share its day: a pull that lasts, warm air, soft ground. The intervals that are told let them
(see :func:`_over_rounds`); what the plan draws from is as if every swing were its own, as days have their place in its
form of the day.

The chance of a mis-hit is counted from the shots' odds to be one, with the usual chance worth 40 shots. The short game
is taken from the handicap: the rounds seldom say where a chip was meant to land.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from scipy import optimize

from golfstats.calc.figure import NORMAL_QUANTILE, Figure, t_half_width
from golfstats.calc.figures import plays_like
from golfstats.calc.figures.distances import club_shots, travelled
from golfstats.calc.plan.shots.pattern import (
    LIE_EFFECTS,
    MISHIT_ACROSS,
    MISHIT_ALONG,
    MISHIT_LENGTH,
    TOTAL_OF_CORE,
    WIDE,
    WIDE_SHARE,
    Bag,
    ClubPattern,
)
from golfstats.calc.record import Floats, Ints, Record, Table
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Lie

PLAYER_LENGTH_SD, CLUB_LENGTH_SD = 0.08, 0.03
PLAYER_SPREAD_SD, CLUB_SPREAD_SD = 0.22, 0.12
PLAYER_BIAS_SD, CLUB_BIAS_SD = np.radians(1.2), np.radians(0.8)
"""Standard deviations over players and over one player's clubs: of logarithms, and of the bias in radians."""
MISHIT_WORTH = 40.0
MINIMUM_SHOTS = 8
"""Full swings with a club below which its figures say "too few"; the plan uses the pattern all the same."""


@dataclass(frozen=True)
class Swings(Table):
    """Full swings. Equally long columns."""

    club: Ints
    """Row of the club in the bag."""
    length: Floats
    """Yards in neutral air."""
    aside: Floats
    """Yards right of the line to the target; NaN if not measured."""
    lie: Ints
    round: Ints


@dataclass(frozen=True, eq=False)
class Learnt:
    """A player's patterns with what is not known of them.

    The columns of the means and of the rows and columns of the covariances are, by club: log length and log spread of
    the length (share), and bias and log spread of the direction (radians).
    """

    prior: Bag
    shots: Ints
    """Full swings by club."""
    length_mean: Floats
    length_covariance: Floats
    direction_mean: Floats
    direction_covariance: Floats
    mishit: float
    length_half: Floats
    """Half of the 90% interval of each mean, as rounds let it be told."""
    direction_half: Floats

    @property
    def bag(self) -> Bag:
        """The pattern to plan with: what is not known of a club's length and bias scatters its shots as well."""
        clubs = len(self.prior.clubs)
        unknown_length = np.diag(self.length_covariance)[:clubs]
        unknown_bias = np.diag(self.direction_covariance)[:clubs]
        return self._bag(self.length_mean, self.direction_mean, unknown_length, unknown_bias)

    def draws(self, number: int, rng: np.random.Generator) -> list[Bag]:
        """Bags that the player may have, drawn from what is known."""
        nothing = np.zeros(len(self.prior.clubs))
        lengths = rng.multivariate_normal(self.length_mean, self.length_covariance, number)
        directions = rng.multivariate_normal(self.direction_mean, self.direction_covariance, number)
        return [self._bag(*pair, nothing, nothing) for pair in zip(lengths, directions, strict=True)]

    def figures(self, club: int) -> dict[str, Figure]:
        """Length, spread of the length (both yards), bias and spread of the direction (degrees) of one club."""
        clubs, n = len(self.prior.clubs), int(self.shots[club])
        log_length, log_along = self.length_mean[club], self.length_mean[clubs + club]
        length_half, along_half = self.length_half[[club, clubs + club]]
        bias_half, across_half = self.direction_half[[club, clubs + club]]
        bias, log_across = np.degrees(self.direction_mean[club]), self.direction_mean[clubs + club]
        half = np.degrees(bias_half)
        length = float(np.exp(log_length))
        return {
            "length": _log_figure(log_length, length_half, 1.0, n, Unit.YARDS),
            "length_spread": _log_figure(log_along, along_half, TOTAL_OF_CORE * length, n, Unit.YARDS),
            "bias": _figure(bias, bias - half, bias + half, n, Unit.DEGREES),
            "direction_spread": _log_figure(
                log_across, across_half, TOTAL_OF_CORE * 180 / np.pi, n, Unit.DEGREES
            ),
        }

    def _bag(
        self, lengths: Floats, directions: Floats, length_variance: Floats, bias_variance: Floats
    ) -> Bag:
        clubs = len(self.prior.clubs)
        along = np.hypot(np.exp(lengths[clubs:]), np.sqrt(length_variance))
        across = np.hypot(np.exp(directions[clubs:]), np.sqrt(bias_variance))
        learnt = [
            ClubPattern(
                name=club.name,
                length=float(np.exp(lengths[row])),
                along=float(along[row]),
                across=float(across[row]),
                bias=float(directions[row]),
                shots=int(self.shots[row]),
            )
            for row, club in enumerate(self.prior.clubs)
        ]
        return replace(self.prior, clubs=tuple(learnt), mishit=self.mishit)


def learn(prior: Bag, swings: Swings) -> Learnt:
    """The patterns of a player whose usual bag is ``prior``, from their full swings (none is well)."""
    clubs = len(prior.clubs)
    known = LIE_EFFECTS.keys()
    swings = swings.select(np.isin(swings.lie, [int(lie) for lie in known]) & (swings.length > 0))
    effects = [LIE_EFFECTS[Lie(int(lie))] for lie in swings.lie]
    reach = swings.length / np.array([effect.length for effect in effects] or [1.0])[: len(swings)]
    along = np.array([effect.along for effect in effects])
    base = np.log([[club.length, club.along] for club in prior.clubs]).T
    lengths = _Lengths(swings.club, reach, along, prior.mishit)
    length_mean, length_covariance = _fit(
        lengths.slopes, base, (PLAYER_LENGTH_SD, PLAYER_SPREAD_SD), (CLUB_LENGTH_SD, CLUB_SPREAD_SD)
    )
    measured = np.isfinite(swings.aside)
    across = np.array([effect.across for effect in effects])[measured] if effects else np.zeros(0)
    club = swings.club[measured]
    angle = swings.aside[measured] / np.exp(length_mean[club])
    directions = _Directions(club, angle, across, prior.mishit)
    direction_base = np.array([[club.bias, np.log(club.across)] for club in prior.clubs]).T
    direction_mean, direction_covariance = _fit(
        directions.slopes, direction_base, (PLAYER_BIAS_SD, PLAYER_SPREAD_SD), (CLUB_BIAS_SD, CLUB_SPREAD_SD)
    )
    mishits = lengths.mishits(length_mean)
    length_half = _over_rounds(length_covariance, lengths.by_shot(length_mean), swings.club, swings.round)
    direction_half = _over_rounds(
        direction_covariance, directions.by_shot(direction_mean), club, swings.round[measured]
    )
    return Learnt(
        prior=prior,
        shots=np.bincount(swings.club, minlength=clubs),
        length_mean=length_mean,
        length_covariance=length_covariance,
        direction_mean=direction_mean,
        direction_covariance=direction_covariance,
        mishit=(MISHIT_WORTH * prior.mishit + mishits) / (MISHIT_WORTH + len(swings)),
        length_half=length_half,
        direction_half=direction_half,
    )


def swings_of(record: Record, rows: Mapping[int, int], altitude: Floats | None = None) -> Swings:
    """The full swings of a record with known distance, in neutral air; ``rows`` gives each club's row in the bag.

    ``altitude``: of the course of each round, metres above the sea.
    """
    shots = record.shots
    neutral = plays_like.plays_like(travelled(shots), record, altitude=altitude)
    columns: list[tuple[Ints, Ints]] = []
    for club, row in rows.items():
        used, _ = club_shots(record, club)
        columns.append((used, np.full(len(used), row)))
    used = np.concatenate([part for part, _ in columns]) if columns else np.zeros(0, dtype=np.int64)
    club_row = np.concatenate([part for _, part in columns]) if columns else np.zeros(0, dtype=np.int64)
    lie = shots.lie[used].astype(np.int64)
    lie = np.where(lie == Lie.FRINGE, int(Lie.FAIRWAY), lie)
    return Swings(club_row, neutral[used], shots.offline[used], lie, shots.round[used])


class _Shots:
    """Log-likelihood of shots by two parameters of each shot's club."""

    club: Ints

    def slopes(self, parameters: Floats) -> tuple[float, Floats]:
        """The log-likelihood, and its slopes by the parameters of every club."""
        if not len(self.club):
            return 0.0, np.zeros_like(parameters)
        total, by_shot = self._evaluated(parameters)
        clubs = len(parameters) // 2
        return total, np.concatenate([np.bincount(self.club, slope, clubs) for slope in by_shot])

    def by_shot(self, parameters: Floats) -> Floats:
        """What each shot adds to the slopes by the two parameters of its club; a row each."""
        return self._evaluated(parameters)[1] if len(self.club) else np.zeros((2, 0))

    def _evaluated(self, parameters: Floats) -> tuple[float, Floats]:
        raise NotImplementedError


class _Lengths(_Shots):
    """Log length and log spread of the length."""

    def __init__(self, club: Ints, reach: Floats, factor: Floats, mishit: float) -> None:
        self.club, self.reach, self.factor, self.mishit = club, reach, factor, mishit

    def _evaluated(self, parameters: Floats) -> tuple[float, Floats]:
        share, z, sd, centre = self._parts(parameters)
        total, odds = _odds(share, z, sd)
        by_length = odds * (z * centre / sd + z**2 - 1)
        by_spread = odds[:2] * (z[:2] ** 2 - 1)
        by_shot = np.stack([by_length.sum(axis=0), by_spread.sum(axis=0)])
        return float(np.sum(total)), by_shot

    def mishits(self, parameters: Floats) -> float:
        """Expected number of mis-hits among the shots."""
        if not len(self.club):
            return 0.0
        share, z, sd, _ = self._parts(parameters)
        return float(_odds(share, z, sd)[1][2].sum())

    def _parts(self, parameters: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        clubs = len(parameters) // 2
        length = np.exp(parameters[self.club])
        spread = np.exp(parameters[clubs + self.club]) * length * self.factor
        centre = np.stack([length, length, MISHIT_LENGTH * length])
        sd = np.stack([spread, WIDE * spread, MISHIT_ALONG * length])
        share = np.array([(1 - self.mishit) * (1 - WIDE_SHARE), (1 - self.mishit) * WIDE_SHARE, self.mishit])
        return share, (self.reach - centre) / sd, sd, centre


class _Directions(_Shots):
    """Bias and log spread of the direction."""

    def __init__(self, club: Ints, angle: Floats, factor: Floats, mishit: float) -> None:
        self.club, self.angle, self.factor, self.mishit = club, angle, factor, mishit

    def _evaluated(self, parameters: Floats) -> tuple[float, Floats]:
        clubs = len(parameters) // 2
        spread = np.exp(parameters[clubs + self.club]) * self.factor
        sd = np.stack([spread, WIDE * spread, MISHIT_ACROSS * spread])
        share = np.array([(1 - self.mishit) * (1 - WIDE_SHARE), (1 - self.mishit) * WIDE_SHARE, self.mishit])
        z = (self.angle - parameters[self.club]) / sd
        total, odds = _odds(share, z, sd)
        by_shot = np.stack([(odds * z / sd).sum(axis=0), (odds * (z**2 - 1)).sum(axis=0)])
        return float(np.sum(total)), by_shot


def _odds(share: Floats, z: Floats, sd: Floats) -> tuple[Floats, Floats]:
    """Log density of each shot (without a constant) and its odds to be of each part of the mixture."""
    log_parts = np.log(np.maximum(share, 1e-12))[:, None] - 0.5 * z**2 - np.log(sd)
    top = log_parts.max(axis=0)
    parts = np.exp(log_parts - top)
    total = parts.sum(axis=0)
    return top + np.log(total), parts / total


def _fit(
    slopes: Callable[[Floats], tuple[float, Floats]],
    base: Floats,
    player_sd: tuple[float, float],
    club_sd: tuple[float, float],
) -> tuple[Floats, Floats]:
    """Mode and covariance of two parameters of every club.

    The two parts of the prior are summed out: over clubs a parameter has the variance of both, and the covariance
    of the player's part alone.
    """
    clubs = base.shape[1]
    precision = np.zeros((2 * clubs, 2 * clubs))
    for k in range(2):
        covariance = player_sd[k] ** 2 * np.ones((clubs, clubs)) + club_sd[k] ** 2 * np.eye(clubs)
        precision[k * clubs : (k + 1) * clubs, k * clubs : (k + 1) * clubs] = np.linalg.inv(covariance)
    mean = base.ravel()

    def loss(parameters: Floats) -> tuple[float, Floats]:
        log_likelihood, gradient = slopes(parameters)
        away = parameters - mean
        return 0.5 * float(away @ precision @ away) - log_likelihood, precision @ away - gradient

    minimum = optimize.minimize(
        loss, mean, jac=True, method="L-BFGS-B", options={"maxiter": 500, "ftol": 1e-12}
    )
    mode = np.asarray(minimum.x, dtype=np.float64)
    curvature = np.empty((2 * clubs, 2 * clubs))
    for column in range(2 * clubs):
        move = np.zeros(2 * clubs)
        move[column] = 1e-4
        curvature[:, column] = (loss(mode + move)[1] - loss(mode - move)[1]) / 2e-4
    curvature = (curvature + curvature.T) / 2
    return mode, np.asarray(np.linalg.inv(curvature), dtype=np.float64)


def _over_rounds(covariance: Floats, by_shot: Floats, club: Ints, round: Ints) -> Floats:
    """Half of the 90% interval of each parameter when the swings of a round go together.

    The sandwich: what the slopes of whole rounds vary takes the place of what independent swings would, beside the
    prior, with rounds - 1 degrees of freedom (Liang and Zeger 1986, from memory); never narrower than without it.
    """
    alone: Floats = NORMAL_QUANTILE * np.sqrt(np.diag(covariance))
    rounds, number = np.unique(round, return_inverse=True)
    if len(rounds) < 2:
        return alone
    clubs = len(covariance) // 2
    cell = number * clubs + club
    slopes = np.concatenate(
        [np.bincount(cell, slope, len(rounds) * clubs).reshape(len(rounds), clubs) for slope in by_shot],
        axis=1,
    )
    own = np.concatenate([np.bincount(club, slope**2, clubs) for slope in by_shot])
    more = len(rounds) / (len(rounds) - 1) * slopes.T @ slopes - np.diag(own)
    variance = np.diag(covariance + covariance @ more @ covariance)
    over_rounds = t_half_width(len(rounds) - 1) * np.sqrt(np.maximum(variance, 0.0))
    return np.maximum(alone, over_rounds)


def _log_figure(log_mean: float, half: float, factor: float, n: int, unit: Unit) -> Figure:
    low, value, high = factor * np.exp([log_mean - half, log_mean, log_mean + half])
    return _figure(float(value), float(low), float(high), n, unit)


def _figure(value: float, low: float, high: float, n: int, unit: Unit) -> Figure:
    if n < MINIMUM_SHOTS:
        return Figure.too_few(n, MINIMUM_SHOTS, unit)
    return Figure(float(value), float(low), float(high), n, MINIMUM_SHOTS, unit)
