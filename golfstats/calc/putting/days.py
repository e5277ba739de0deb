"""Putts of one day go together: the day's form and greens, how much they vary, and what of a day the misses tell.

On a good day more is holed *and* less is left. So putts of a few feet come mostly from the bad days: whoever counts
all putts from a distance alike finds the player worse than on a usual day. A round has its own level, therefore, a
random intercept in log odds (Breslow and Clayton 1993, approximate inference in generalized linear mixed models, from
memory), part of which what the round's misses left predicts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.record import Bools, Floats, Ints

MINIMUM_ROUNDS = 5
"""Rounds below which days cannot be told from putts: the usual day is taken."""
USUAL_DAY = 0.15
"""Standard deviation of the day's form in log odds, for few rounds (our judgement)."""
MINIMUM_LEAVES = 20
"""Misses below which what they left tells nothing of days."""
CURVE = 3
"""Coefficients of what misses leave in the logarithm of the distance: a parabola."""
FORM_SD = 1.0
"""Of the prior of the form's slope: log odds of holing for each e-fold by which a day's misses are left farther."""
ATTENUATION = float((16 * np.sqrt(3) / (15 * np.pi)) ** 2)
"""Of log odds averaged over a normal intercept (Zeger, Liang and Albert 1988, equation 3.2, from memory)."""


@dataclass(frozen=True)
class Days:
    """The rounds of some putts."""

    round: Ints
    """Number of the round of each putt, from 0."""
    level: Floats
    """By how much farther the misses of each round were left than usual, as a logarithm, shrunk; 0 on average."""
    variance: float
    """Of the day's form in log odds."""


def days_of(putts: Putts, make: Floats) -> Days:
    """``make``: chance of each putt, right by distance: a misfit of the model is no form of a day."""
    rounds = np.unique(putts.round, return_inverse=True)[1].astype(np.int64)
    return Days(rounds, _levels(putts, rounds), _variance(putts, make, rounds))


def over_days(log_odds: Floats, variance: float) -> Floats:
    """Log odds of the chance on average over days, from those on the usual day."""
    averaged: Floats = log_odds / np.sqrt(1 + ATTENUATION * variance)
    return averaged


def _levels(putts: Putts, rounds: Ints) -> Floats:
    """Best linear predictor of each round's level, its variance by moments as in an analysis of variance."""
    count = int(rounds.max(initial=-1)) + 1
    missed = _misses(putts)
    if int(np.sum(missed)) < MINIMUM_LEAVES or count < MINIMUM_ROUNDS:
        return np.zeros(count)
    left = _farther_than_usual(putts, missed, CURVE)
    each = np.bincount(rounds[missed], minlength=count)
    total = np.bincount(rounds[missed], weights=left, minlength=count)
    single = float(np.mean(left**2))
    between = max((float(np.sum(total**2)) - len(left) * single) / float(np.sum(each**2)), 0.0)
    level = total * between / np.maximum(single + each * between, 1e-9)
    centred: Floats = level - np.mean(level)
    return centred


def _variance(putts: Putts, make: Floats, rounds: Ints) -> float:
    """Of the day's form in log odds, by moments: how much more rounds differ than putts explain."""
    if int(rounds.max(initial=-1)) + 1 < MINIMUM_ROUNDS:
        return USUAL_DAY**2
    total = np.bincount(rounds, weights=putts.holed - make)
    weight = np.bincount(rounds, weights=make * (1 - make))
    between_rounds = (float(np.sum(total**2)) - float(np.sum(weight))) / float(np.sum(weight**2))
    return min(max(between_rounds, 0.0), 1.0)


def within_days(weight: Floats, left: Floats, days: Days, pull: float) -> tuple[Floats, Floats]:
    """One step for bins and for the form's slope, and their covariance, each round with its own intercept.

    Generalised least squares: with intercepts integrated out, a round's information is W - w w' / (1 / day + sum w)
    by the Sherman-Morrison formula. ``weight`` and ``left``: a row each round, a column each bin.
    """
    each = np.sum(weight, axis=1)
    design = np.column_stack([weight, each * days.level])
    shrink = days.variance / (1 + days.variance * each)
    information = np.diag(np.append(np.sum(weight, axis=0), each @ days.level**2 + 1 / FORM_SD**2))
    information[:-1, -1] = information[-1, :-1] = weight.T @ days.level
    information -= (design * shrink[:, None]).T @ design
    total = np.sum(left, axis=1)
    score = np.append(np.sum(left, axis=0), total @ days.level - pull) - design.T @ (shrink * total)
    covariance = np.linalg.inv(information)
    return covariance @ score, covariance


def make_stretch(make: Floats, days: Days) -> float:
    """Factor on the variance of what makes tell of the spreads."""
    weight = np.bincount(days.round, weights=make * (1 - make))
    return 1 + days.variance * float(np.sum(weight**2)) / max(float(np.sum(weight)), 1e-9)


def leave_stretch(putts: Putts, days: Days) -> float:
    """Design effect of rounds on the size of what misses leave, for their distance."""
    missed = _misses(putts) & (putts.distance_ft >= 10)
    if int(np.sum(missed)) < MINIMUM_LEAVES:
        return 1.0
    left = _farther_than_usual(putts, missed, 2)
    between = float(np.sum(np.bincount(days.round[missed], weights=left) ** 2))
    return max(between / max(float(left @ left), 1e-9), 1.0)


def _misses(putts: Putts) -> Bools:
    return ~putts.holed & (putts.leave_ft > 0)


def _farther_than_usual(putts: Putts, missed: Bools, curve: int) -> Floats:
    size = np.log(putts.leave_ft[missed])
    line = np.vander(np.log(putts.distance_ft[missed]), curve)
    left: Floats = size - line @ np.linalg.lstsq(line, size, rcond=1e-9)[0]
    return left
