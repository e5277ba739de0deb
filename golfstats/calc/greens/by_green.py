"""Which greens work costs most on: each green of a course beside the others in the same rounds.

What a hole takes beyond its expected putts = level of the round + the hole's own difficulty + disturbance of the green
that day × (cost of all greens + what this green costs beyond it) + pin of the day + noise.

Every round meets every green, so form, weather and season fall out of the comparison between greens. Players of one
day meet the same pins: a pin that is hard for all of them counts once, not once a player. What greens cost beyond the
others is pooled: it has a normal prior whose spread the putts tell, so greens of which little is known lie near the
course's mean (partial pooling: Gelman and Hill, Data Analysis Using Regression and Multilevel/Hierarchical Models,
2007, chapter 12, from memory). A green that stays disturbed for longer than the others shows as one that costs more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import linalg, sparse

from golfstats.calc.a_round import ROUND
from golfstats.calc.figure import NORMAL_QUANTILE, Figure
from golfstats.calc.greens.effect.mixed_model import indicator
from golfstats.calc.greens.effect.posterior import (
    MINIMUM_DISTURBANCE,
    MINIMUM_ROUNDS,
    GreensEffect,
    first_days,
)
from golfstats.calc.greens.effect.surplus import HolePutts, RoundPutts
from golfstats.calc.greens.surface.disturbance import Work, share_left, surface_disturbance
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit

SPREADS = np.array([0.01, 0.02, 0.04, 0.07, 0.11, 0.16, 0.24, 0.36])
"""Tried standard deviations between greens, strokes each time one that was just cored is played."""
USUAL_SPREAD = 0.12
"""Scale of the half-normal prior of that spread: what a green costs on a course whose rounds lose two strokes. Our
judgement."""
LARGEST_OWN_SD = 0.1
"""A green's cost is told where its own putts leave no more doubt than this: an interval of 0.16 to either side is what
fresh coring costs on a usual green, three strokes a round. Our judgement."""
HOLE_SD, COURSE_SD = 0.4, 0.5
"""Wide priors: difficulty of a hole's pins, cost of a disturbed green, strokes each time it is played."""


@dataclass(frozen=True)
class GreenBesideOthers:
    """What one green costs beyond the mean of its course's greens: strokes each time it is played wholly disturbed."""

    hole: int
    visits: int
    """Holes putted out while this green was disturbed."""
    beyond: float
    sd: float
    own_sd: float | None
    """Doubt that this green's own putts would leave; ``None`` where none was struck on it disturbed."""


@dataclass(frozen=True)
class CostOfGreen:
    """What one green costs in the first days after the club's usual work, each time it is played."""

    hole: int
    strokes: Figure
    """Too few where this green's own putts say too little; ``perhaps`` is then what the course and its other greens
    let one expect."""
    beyond: Figure
    """More than the mean of the course's greens."""
    perhaps: tuple[float, float]
    """90% of what it may cost, known or not."""


def greens_beside_others(
    rounds: RoundPutts, holes: HolePutts, course: int, works: Sequence[Work]
) -> list[GreenBesideOthers]:
    """The greens of a course in order of their holes; none with too few rounds on disturbed greens."""
    here = holes.select(rounds.course[holes.row] == course)
    if not len(here) or not works:
        return []
    disturbance = surface_disturbance(works, rounds.day[here.row], here.hole)
    felt = disturbance >= MINIMUM_DISTURBANCE
    numbers, green = np.unique(here.hole, return_inverse=True)
    if len(np.unique(here.row[felt])) < MINIMUM_ROUNDS or len(numbers) < 2:
        return []
    _, round_ = np.unique(here.row, return_inverse=True)
    pins = (rounds.day - rounds.day.min())[here.row] * (1 + here.hole.max()) + here.hole
    design = _design(green, disturbance)
    weight = _weights(here.surplus, design, round_, pins)
    information, pull = _within_rounds(here.surplus, design, round_, weight)
    mean, covariance = _pooled(information, pull, len(numbers))
    own = _own_sd(green, disturbance, weight, len(numbers))
    visits = np.bincount(green[felt], minlength=len(numbers))
    return [
        GreenBesideOthers(
            int(numbers[at]),
            int(visits[at]),
            float(mean[at]),
            float(np.sqrt(covariance[at, at])),
            float(own[at]) if np.isfinite(own[at]) else None,
        )
        for at in range(len(numbers))
    ]


def cost_of_greens(
    effect: GreensEffect, course: str, beside: Sequence[GreenBesideOthers]
) -> list[CostOfGreen]:
    """Each green's share of what the usual work costs here, and what it costs beyond the others."""
    days = first_days(effect.usual_kind)
    fresh = _mean_disturbance(effect.usual_kind, days)
    # Where nothing may be claimed this is wider than the posterior, as the course's own answer is.
    low, high = effect.perhaps(effect.usual_kind, course)
    mean, sd = (low + high) / 2, (high - low) / 2 / NORMAL_QUANTILE
    known = effect.strokes_between(days[0], days[-1], effect.usual_kind, None, course).enough
    return [_cost(one, mean / ROUND, sd / ROUND, fresh, course_known=known) for one in beside]


def _cost(
    one: GreenBesideOthers, usual: float, usual_sd: float, fresh: float, *, course_known: bool
) -> CostOfGreen:
    own_sd = math.inf if one.own_sd is None else fresh * one.own_sd
    wanted = MINIMUM_ROUNDS
    if math.isfinite(own_sd):
        wanted = max(wanted, math.ceil(one.visits * (own_sd / LARGEST_OWN_SD) ** 2))
    beyond, beyond_sd = fresh * one.beyond, fresh * one.sd
    strokes = _figure(usual + beyond, math.hypot(usual_sd, beyond_sd), one.visits, wanted)
    too_few = Figure.too_few(one.visits, wanted, Unit.STROKES)
    enough = one.visits >= wanted and own_sd <= LARGEST_OWN_SD
    return CostOfGreen(
        one.hole,
        strokes if enough and course_known else too_few,
        _figure(beyond, beyond_sd, one.visits, wanted) if enough else too_few,
        (strokes.low or 0.0, strokes.high or 0.0),
    )


def _figure(mean: float, sd: float, n: int, minimum_n: int) -> Figure:
    half = NORMAL_QUANTILE * sd
    return Figure(mean, mean - half, mean + half, n, minimum_n, Unit.STROKES)


def _mean_disturbance(kind: str, days: range) -> float:
    usual = work_types()[kind]
    return usual.severity * float(np.mean(share_left(np.array(days, dtype=float), usual.recovery_days)))


def _design(green: Ints, disturbance: Floats) -> sparse.csr_array:
    """A column for what all greens cost, one a hole for its difficulty, one a green for what it costs beyond."""
    difficulty = indicator(green)
    felt = difficulty.multiply(disturbance[:, None])
    columns = [sparse.csr_array(disturbance[:, None]), difficulty, felt]
    design: sparse.csr_array = sparse.hstack(columns, format="csr")
    return design


def _within_rounds(
    surplus: Floats, design: sparse.csr_array, round_: Ints, weight: Floats
) -> tuple[Floats, Floats]:
    """Information and pull of the columns when each round has a level of its own."""
    of_rounds = indicator(round_).T
    total = of_rounds @ weight
    weighted = design.multiply(weight[:, None]).tocsr()
    sums = (of_rounds @ weighted).toarray()
    information = (design.T @ weighted).toarray() - sums.T @ (sums / total[:, None])
    pull = weighted.T @ surplus - sums.T @ (of_rounds @ (weight * surplus) / total)
    return information, pull


def _weights(surplus: Floats, design: sparse.csr_array, round_: Ints, pins: Ints) -> Floats:
    """Inverse variances that let a pin, met by several players of a day, count no more than it tells.

    The variance that putts at one pin share is the mean product of two of their residuals.
    """
    information, pull = _within_rounds(surplus, design, round_, np.ones(len(surplus)))
    ridge = np.concatenate([[COURSE_SD], np.full(len(pull) - 1, HOLE_SD)]) ** -2.0
    above = surplus - design @ linalg.solve(information + np.diag(ridge), pull, assume_a="pos")
    of_round = np.bincount(round_, weights=above) / np.bincount(round_)
    left = np.asarray(above - of_round[round_], dtype=np.float64)
    met = np.bincount(pins)
    pairs = float(np.sum(met * (met - 1.0)))
    together = float(np.sum(np.bincount(pins, weights=left) ** 2) - np.sum(left**2))
    all_of_it = float(np.mean(left**2)) + 1e-6
    shared = min(max(together / pairs, 0.0), all_of_it) if pairs else 0.0
    return np.asarray(1.0 / (all_of_it - shared + met[pins] * shared), dtype=np.float64)


def _pooled(information: Floats, pull: Floats, greens: int) -> tuple[Floats, Floats]:
    """Mean and covariance of the greens beside their mean, averaged over the spreads by evidence."""
    beside = np.zeros((greens, len(pull)))
    beside[:, 1 + greens :] = np.eye(greens) - 1.0 / greens
    log_weights, means, covariances = [], [], []
    for spread, log_weight, mean, covariance in _by_spread(information, pull, greens):
        log_weights.append(log_weight - 0.5 * (spread / USUAL_SPREAD) ** 2)
        means.append(beside @ mean)
        covariances.append(beside @ covariance @ beside.T)
    weight = np.exp(np.array(log_weights) - max(log_weights)) * np.gradient(SPREADS)
    weight /= weight.sum()
    mean = weight @ np.stack(means)
    away = np.stack(means) - mean
    covariance = np.einsum("s,sij->ij", weight, np.stack(covariances))
    return mean, covariance + (weight[:, None] * away).T @ away


def _by_spread(
    information: Floats, pull: Floats, greens: int
) -> Iterator[tuple[float, float, Floats, Floats]]:
    """Each spread with its evidence (logarithm, but for a constant) and the posterior at it."""
    for spread in SPREADS:
        prior = np.concatenate([[COURSE_SD], np.full(greens, HOLE_SD), np.full(greens, spread)])
        whitened = prior[:, None] * information * prior + np.eye(len(prior))
        factor = linalg.cho_factor(whitened, lower=True)
        mean = prior * linalg.cho_solve(factor, prior * pull)
        covariance = prior[:, None] * linalg.cho_solve(factor, np.eye(len(prior))) * prior
        evidence = 0.5 * float(pull @ mean) - float(np.sum(np.log(np.diag(factor[0]))))
        yield float(spread), evidence, mean, covariance


def _own_sd(green: Ints, disturbance: Floats, weight: Floats, greens: int) -> Floats:
    """Standard error of each green's cost from its own holes alone: a slope beside a level."""
    total = np.bincount(green, weights=weight, minlength=greens)
    mean = np.bincount(green, weights=weight * disturbance, minlength=greens) / total
    about = np.bincount(green, weights=weight * (disturbance - mean[green]) ** 2, minlength=greens)
    with np.errstate(divide="ignore"):
        own: Floats = 1.0 / np.sqrt(about)
    return own
