"""Estimates what disturbed greens cost from a club's binned putts.

Four answers are weighed against each other: no effect; worse distance control alone; both spreads growing
alike; each growing by its own. Half of the prior weight is on no effect, because what is published goes both
ways: balls rolled by a ramp from 8 ft mostly still dropped on cored greens, while a bobble score told the same
greens apart (Linde et al. 2015 and 2017, 150 greens), and no study of golfers on cored greens was found. The
recovery time is weighed over a grid around the default (Bayesian model averaging: Hoeting et al. 1999, from
memory; evidences by Laplace's method).

Days differ for other reasons (hole locations, weather, watering). How much is estimated from the scatter of whole
course-days, and a day's putts then count for less than their number suggests.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from golfstats.calc.greens.effect import (
    MINIMUM_DAYS,
    MINIMUM_DISTURBANCE,
    MINIMUM_ROUNDS,
    Components,
    GreensEffect,
    too_few_effect,
)
from golfstats.calc.greens.likelihood import Mode, PuttLikelihood, one_surface_one_condition
from golfstats.calc.greens.putts import PuttBins
from golfstats.calc.record import Bools, Floats

RECOVERY_SCALES = 1.25 ** np.arange(-4.0, 5.0)
"""Recovery times tried, as multiples of the default: 0.41 to 2.44."""
RECOVERY_LOG_SD = 0.5
"""Prior spread of the logarithm of that multiple: published ranges of one kind run from half to double."""
NO_EFFECT = 0.5
"""Prior probability that disturbance changes nothing."""
EFFECT_MEAN, EFFECT_SD = 0.1, 0.3
"""Prior of the growth of a spread at full disturbance, if there is any. Our judgement, wide on purpose."""
SHAPES: tuple[tuple[float, Floats], ...] = (
    (0.25, np.array([[0.0], [1.0]])),
    (0.5, np.array([[1.0], [1.0]])),
    (0.25, np.eye(2)),
)
"""Ways the effects (direction, distance) can arise, with their prior shares: distance control alone; both
alike, as a bump turns a ball as readily as it slows one; each by its own. Our judgement."""
FIRST_PLAYER_SD = (0.2, 0.25)
"""Where the search for the players' spread around the club starts."""


def fit_effect(bins: PuttBins, kind: str | None = None) -> GreensEffect:
    """What disturbance costs, from all work or from one kind where no other was healing.

    With too few rounds or days on disturbed greens nothing is fitted and every figure says "too few".
    """
    if kind is not None:
        bins = only_kind(bins, kind)
    rounds, days = disturbed_sample(bins)
    putts = int(np.sum(bins.sums.tries))
    if rounds < MINIMUM_ROUNDS or days < MINIMUM_DAYS:
        return too_few_effect(rounds, days, putts)
    player_sd, mode = _first_fit(bins)
    day_variance, weight = _day_weights(bins, player_sd, mode)

    likelihood = PuttLikelihood(one_surface_one_condition(bins, weight, RECOVERY_SCALES), bins, player_sd)
    at = likelihood.sums.condition
    usual = bins.conditions.disturbance()[at]
    likelihood.set_leave_variance(mode.parameters, mode.effects, usual)
    none = likelihood.fit(usual, mode.parameters, np.zeros(2), with_effects=False)
    modes = []
    for scale in RECOVERY_SCALES:
        disturbance = bins.conditions.disturbance(float(scale))[at]
        mode = likelihood.fit(disturbance, mode.parameters, mode.effects, with_effects=True)
        modes.append(mode)
    direction_sd, distance_sd = np.exp(none.parameters[:2]).tolist()
    return GreensEffect(
        rounds=rounds,
        days=days,
        putts=putts,
        direction_sd=direction_sd,
        distance_sd=distance_sd,
        day_sd=float(np.sqrt(day_variance)),
        first_putts=bins.first_putts,
        components=_posterior(none, modes),
    )


def disturbed_sample(bins: PuttBins) -> tuple[int, int]:
    """Rounds and course-days on greens that were disturbed by the default recovery times."""
    disturbed = bins.conditions.disturbance() >= MINIMUM_DISTURBANCE
    met = np.unique(bins.round_pairs[:, 1])
    return bins.rounds(disturbed), len(np.unique(bins.conditions.course_day[met[disturbed[met]]]))


def only_kind(bins: PuttBins, kind: str) -> PuttBins:
    """The bins of conditions in which no other kind of work was healing."""
    conditions = bins.conditions
    other = np.array([name != kind for name in conditions.kind], dtype=np.bool_)
    keep: Bools = ~np.any(np.isfinite(conditions.since[:, other]), axis=1)
    return replace(
        bins,
        sums=bins.sums.select(keep[bins.sums.condition]),
        round_pairs=bins.round_pairs[keep[bins.round_pairs[:, 1]]],
    )


def _first_fit(bins: PuttBins) -> tuple[tuple[float, float], Mode]:
    """Players' spread around the club, and a first fit, at default recovery and with all days alike."""
    sums = one_surface_one_condition(bins, np.ones(len(bins.conditions.course_day)), np.ones(1))
    disturbance = bins.conditions.disturbance()[sums.condition]
    player_sd = FIRST_PLAYER_SD
    likelihood = PuttLikelihood(sums, bins, player_sd)
    mode = likelihood.fit(disturbance, likelihood.prior_mean, np.zeros(2), with_effects=True)
    for _ in range(2):
        player_sd = likelihood.player_spreads(mode)
        likelihood = PuttLikelihood(sums, bins, player_sd)
        likelihood.set_leave_variance(mode.parameters, mode.effects, disturbance)
        mode = likelihood.fit(disturbance, mode.parameters, mode.effects, with_effects=True)
    return player_sd, mode


def _day_weights(bins: PuttBins, player_sd: tuple[float, float], mode: Mode) -> tuple[float, Floats]:
    """Variance between days, and what a putt of each condition counts once its day's putts share an effect.

    The variance is by the method of moments from each day's score for a change of both log spreads:
    E score² = information + variance × information². A day's information then shrinks to
    information ÷ (1 + variance × information), as under a normal day effect integrated out.
    """
    likelihood = PuttLikelihood(bins.sums, bins, player_sd)
    disturbance = bins.conditions.disturbance()[bins.sums.condition]
    likelihood.set_leave_variance(mode.parameters, mode.effects, disturbance)
    row_score, row_information = likelihood.spread_score(mode, disturbance)
    day = bins.conditions.course_day
    days, of = int(day.max()) + 1, day[bins.sums.condition]
    score = np.bincount(of, weights=row_score, minlength=days).astype(np.float64)
    information = np.bincount(of, weights=row_information, minlength=days).astype(np.float64)
    variance = max(0.0, float(np.sum(score**2 - information) / np.sum(information**2)))
    return variance, 1.0 / (1.0 + variance * information[day])


def _posterior(none: Mode, modes: list[Mode]) -> Components:
    """Weights and normal posteriors over recovery scales and shapes of the effect."""
    log_prior = -0.5 * (np.log(RECOVERY_SCALES) / RECOVERY_LOG_SD) ** 2
    log_prior -= np.log(np.sum(np.exp(log_prior)))
    log_weights, means, covariances, scales = [], [], [], []
    for scale, log_scale, mode in zip(RECOVERY_SCALES, log_prior, modes, strict=True):
        for share, shape in SHAPES:
            log_evidence, mean, covariance = _component(mode, shape)
            log_weights.append(log_evidence + log_scale + np.log((1 - NO_EFFECT) * share))
            means.append(mean)
            covariances.append(covariance)
            scales.append(scale)
    log_none = np.log(NO_EFFECT) + none.log_evidence
    log_total = np.logaddexp.reduce([log_none, *log_weights])
    return Components(
        np.exp(np.array(log_weights) - log_total), np.array(means), np.array(covariances), np.array(scales)
    )


def _component(mode: Mode, shape: Floats) -> tuple[float, Floats, Floats]:
    """Log evidence and normal posterior of the effects, when they are ``shape`` times free parameters."""
    precision = shape.T @ mode.effect_precision @ shape
    pull = shape.T @ mode.effect_precision @ mode.effects
    free = shape.shape[1]
    prior_mean, prior_precision = np.full(free, EFFECT_MEAN), np.eye(free) / EFFECT_SD**2
    together = precision + prior_precision
    mean = np.linalg.solve(together, pull + prior_precision @ prior_mean)
    log_evidence = (
        mode.log_evidence
        - 0.5 * mode.effects @ mode.effect_precision @ mode.effects
        + 0.5 * mean @ together @ mean
        - 0.5 * prior_mean @ prior_precision @ prior_mean
        + 0.5 * np.linalg.slogdet(prior_precision)[1]
        - 0.5 * np.linalg.slogdet(together)[1]
    )
    covariance = shape @ np.linalg.inv(together) @ shape.T
    return float(log_evidence), shape @ mean, covariance
