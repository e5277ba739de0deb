"""What a player's putts say that two spreads cannot: corrections by distance, in rounds that differ by their day.

No two numbers describe every putter. So the makes of the model are corrected by distance, in log odds, and what then
is still left of three-putts is corrected too; expected putts follow from both, as they cannot be otherwise
(:func:`putts_from`). Each correction is a Gaussian process over the
logarithm of the distance with a Matern kernel (Rasmussen and Williams 2006, equation 4.17, from memory), a level and a
tilt among it, whose size the putts choose themselves. A smoother kernel claims to know from putts of ten feet what
happens at 25: where a player's makes fall off faster than the model's, its intervals held the truth too seldom.
Putts of a round share the day's form and greens (:mod:`~golfstats.calc.putting.days`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from golfstats.calc.figure import t_half_width
from golfstats.calc.putting.days import (
    FORM_SD,
    MINIMUM_ROUNDS,
    USUAL_DAY,
    Days,
    days_of,
    leave_stretch,
    make_stretch,
    over_days,
    within_days,
)
from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.outcomes import Chain, Outcomes
from golfstats.calc.record import Bools, Floats, Ints

EDGES_FT: Floats = np.array([0.0, 2, 3, 4, 5, 6.5, 8, 10, 13, 17, 22, 30, 40, 55, np.inf])
NODES_FT: Floats = np.geomspace(0.5, 120.0, 45)
"""Distances at which the model is worked out; putts between two get a value between."""
LENGTH = 0.6
"""Correlation length of corrections in the logarithm of the distance: a factor of 1.8."""
SIZES: Floats = np.array([0.12, 0.25, 0.45, 0.8, 1.3])
"""Grid of the corrections' standard deviation."""


@dataclass(frozen=True)
class Prior:
    """Of a correction, before any putt is seen (our judgement, tried in worlds of other laws)."""

    usual_size: float
    """Scale of the half-normal prior of the size."""
    tilt: float
    """Standard deviation of the level, and of the tilt for each e-fold of the distance."""


OF_MAKES = Prior(1.0, 0.5)
BESIDE = Prior(0.6, 0.4)
"""Of what is left of three-putts once the makes are right."""
MIDDLE = float(np.log(12.0))
LEAST_INFORMATION = 0.5
"""Bins with less (in expected successes and failures) are left to their neighbours."""
STEPS = 6
TINY = 1e-9
RARE = 1e-6
"""Where three putts are rarer, nothing is told of a fourth."""
MAKE, THREE, EXTRA = 0, 1, 2
"""Scales: log odds of holing and of three putts or more; the log of the expected putts beyond the first follows."""


@dataclass(frozen=True)
class Correction:
    """A correction known at the centres of bins, by size of the corrections."""

    at: Floats
    """Log distances of the bins."""
    residual: Floats
    covariance: Floats
    weight: Floats
    """Probability of each size of the grid."""
    prior: Prior

    def on(self, distance_ft: Floats) -> tuple[Floats, Floats]:
        """Mean and covariance of the correction at distances."""
        place = np.log(distance_ft)
        mean: Floats = np.zeros(len(place))
        square = np.zeros((len(place), len(place)))
        for size, weight in zip(SIZES.tolist(), self.weight.tolist(), strict=True):
            to_bins = _kernel(place, self.at, size, self.prior.tilt)
            solved = self._solved(place, size)
            here = solved @ self.residual
            mean = mean + weight * here
            square += weight * (
                _kernel(place, place, size, self.prior.tilt) - solved @ to_bins.T + np.outer(here, here)
            )
        return mean, square - np.outer(mean, mean)

    def shares(self, distance_ft: Floats) -> Floats:
        """By how much each bin (column) speaks at distances: what :meth:`on` gives is linear in the residuals."""
        place = np.log(distance_ft)
        weighted = [
            weight * self._solved(place, size)
            for size, weight in zip(SIZES.tolist(), self.weight.tolist(), strict=True)
        ]
        shares: Floats = np.sum(weighted, axis=0)
        return shares

    def _solved(self, place: Floats, size: float) -> Floats:
        between = _kernel(self.at, self.at, size, self.prior.tilt) + self.covariance
        solved: Floats = np.asarray(
            np.linalg.solve(between, _kernel(self.at, place, size, self.prior.tilt)), dtype=np.float64
        ).T
        return solved


@dataclass(frozen=True)
class Misfit:
    """Corrections by scale, and how much days widen what a player's putts say."""

    make: Correction
    three: Correction
    """Of three putts or more, once makes are corrected."""
    day_sd: float
    """Of the day's form in log odds of holing."""
    stretch: tuple[float, float]
    """Factors on the variances of the two log spreads: putts of one day are not independent."""
    rounds: int = 0

    @property
    def quantile(self) -> float:
        """Of Student's t: how much days differ is known from so many rounds (Cameron and Miller 2015, from memory)."""
        return t_half_width(max(self.rounds, MINIMUM_ROUNDS) - 1)

    def odds(self, chain: Chain) -> tuple[Floats, Floats]:
        """What to add to a chain's log odds of holing, on average over days, and its covariance."""
        model = chain.log_make - chain.log_miss
        mean, covariance = self.make.on(chain.feet)
        averaged = over_days(np.ones(1), self.day_sd**2)[0]
        return averaged * (model + mean) - model, averaged**2 * covariance


def _nothing_known(prior: Prior) -> Correction:
    weight = np.exp(-0.5 * (SIZES / prior.usual_size) ** 2)
    return Correction(np.empty(0), np.empty(0), np.empty((0, 0)), weight / np.sum(weight), prior)


NO_PUTTS = Misfit(_nothing_known(OF_MAKES), _nothing_known(BESIDE), USUAL_DAY, (1.0, 1.0))


def misfit_of(putts: Putts, direction_sd: float, distance_sd: float) -> Misfit:
    """What the model with these two spreads leaves of one player's putts."""
    chain = Chain(NODES_FT, direction_sd, distance_sd)
    odds = _between(chain.log_make[: len(NODES_FT)] - chain.log_miss[: len(NODES_FT)], putts.distance_ft)
    binned = _Binned(putts, np.ones(len(putts), dtype=np.bool_))
    days = days_of(putts, _right_by_distance(binned, putts.holed, odds))
    makes = replace(
        NO_PUTTS,
        make=_correction_of_makes(binned, putts.holed, odds, days),
        day_sd=float(np.sqrt(days.variance)),
        stretch=(make_stretch(special.expit(odds), days), leave_stretch(putts, days)),
        rounds=len(days.level),
    )
    corrected = scales_of(chain.outcomes(makes.odds(chain)[0]))
    first, taken = _holes(putts)
    three = special.expit(_between(corrected[:, THREE], putts.distance_ft[first]))
    spread = three * (1 - three)
    left = _Binned(putts, first).correction((taken >= 3) - three, spread, spread, days.variance)
    return replace(makes, three=left)


def putts_from(one: Floats, three: Floats, beyond: Floats) -> Floats:
    """Expected putts: a first, a second but for one putt, and ``beyond`` on average where it takes three or more.

    The sum over k of the chances to need a k-th putt, so 1 one + 2 two + (2 + beyond) three or more.
    """
    putts: Floats = 2.0 - one + beyond * three
    return putts


def beyond_second(outcomes: Outcomes) -> Floats:
    """Expected putts from the third on where it takes three or more: 1 where no fourth is needed."""
    three = np.maximum(outcomes.three_or_more, TINY)
    beyond: Floats = np.maximum((outcomes.expected_putts - 2.0 + outcomes.one) / three, 1.0)
    return np.where(outcomes.three_or_more > RARE, beyond, 1.0)


def scales_of(outcomes: Outcomes) -> Floats:
    """Columns by scale: log odds of one putt and of three or more, log of putts beyond the first."""
    one, three = (np.clip(chance, TINY, 1 - TINY) for chance in (outcomes.one, outcomes.three_or_more))
    extra = np.log(np.maximum(outcomes.expected_putts - 1.0, TINY))
    return np.column_stack([special.logit(one), special.logit(three), extra])


def moved(outcomes: Outcomes, moves: Floats) -> Outcomes:
    """The outcomes with the log odds of one putt and of three or more (columns) moved at each distance (row)."""
    scales = scales_of(outcomes)[:, [MAKE, THREE]] + moves
    one = special.expit(scales[:, MAKE])
    three = np.minimum(special.expit(scales[:, THREE]), 1 - one)
    putts = putts_from(one, three, beyond_second(outcomes))
    return Outcomes(outcomes.distance_ft, putts, one, 1 - one - three, three)


def corrected_scales(distance_ft: Floats, spreads: Floats, misfit: Misfit) -> tuple[Floats, Floats]:
    """The scales with the player's corrections, and the variance that the corrections' doubt gives them.

    ``spreads``: of direction and of distance. The doubt about makes runs through the chain, to first order, but for
    what the correction of three-putts would take back: too good makes leave more for it to correct.
    """
    chain = Chain(
        np.concatenate([distance_ft, np.exp(misfit.three.at)]), *(float(spread) for spread in spreads)
    )
    mean, covariance = misfit.odds(chain)
    outcomes, slopes = chain.outcomes(mean), chain.slopes(mean)
    asked, bins = slice(0, len(distance_ft)), slice(len(distance_ft), len(chain.first))
    added, doubt = misfit.three.on(distance_ft)
    chance = np.clip(outcomes.three_or_more, TINY, 1 - TINY)
    slope = slopes[1] / (chance * (1 - chance))[:, None]
    kept = slope[asked] - misfit.three.shares(distance_ft) @ slope[bins]
    one = outcomes.one[asked]
    three = np.minimum(special.expit(special.logit(chance[asked]) + added), 1 - one)
    beyond = beyond_second(outcomes)[asked]
    # Makes move putts by the second putt, by the third, and by what is beyond; the doubt of three-putts by the third.
    own = np.eye(len(distance_ft), len(chain.feet)) * (one * (1 - one))[:, None]
    by_three = beyond * three * (1 - three)
    farther = slopes[0][asked] + own - beyond[:, None] * slopes[1][asked]
    by_makes = by_three[:, None] * kept - own + (three / chance[asked])[:, None] * farther
    found = Outcomes(distance_ft, putts_from(one, three, beyond), one, np.maximum(1 - one - three, 0), three)
    extra = np.maximum(found.expected_putts - 1, TINY)
    own_doubt = np.diag(doubt)
    variance = np.column_stack(
        [
            np.diag(covariance)[asked],
            own_doubt + _carried(kept, covariance),
            (by_three**2 * own_doubt + _carried(by_makes, covariance)) / extra**2,
        ]
    )
    return scales_of(found), variance


def _carried(slope: Floats, covariance: Floats) -> Floats:
    """Variance of what moves by these slopes (rows) with something of a covariance."""
    variance: Floats = np.einsum("fi,ij,fj->f", slope, covariance, slope)
    return variance


def _between(column: Floats, distance_ft: Floats) -> Floats:
    return np.interp(np.log(distance_ft), np.log(NODES_FT), column)


def _holes(putts: Putts) -> tuple[Bools, Ints]:
    """Which putts were first putts on holes that were putted out, and how many each of those holes took."""
    _, start, hole, count = np.unique(putts.hole, return_index=True, return_inverse=True, return_counts=True)
    out = np.bincount(hole, weights=putts.holed) > 0
    first = np.zeros(len(putts), dtype=np.bool_)
    first[start[out]] = True
    return first, count[hole][first]


class _Binned:
    """Some putts in bins of distance and in rounds."""

    def __init__(self, putts: Putts, rows: Bools) -> None:
        self.feet = putts.distance_ft[rows]
        self.bins = np.searchsorted(EDGES_FT, self.feet, side="right") - 1
        self.rounds = np.unique(putts.round[rows], return_inverse=True)[1]
        self.count = len(EDGES_FT) - 1

    def sums(self, values: Floats) -> Floats:
        summed: Floats = np.bincount(self.bins, weights=values, minlength=self.count).astype(np.float64)
        return summed

    def by_round(self, values: Floats) -> Floats:
        """Sums with a row each round and a column each bin."""
        cell = self.rounds * self.count + self.bins
        rounds = int(self.rounds.max(initial=-1)) + 1
        summed: Floats = np.bincount(cell, weights=values, minlength=rounds * self.count).astype(np.float64)
        return summed.reshape(rounds, self.count)

    @property
    def at(self) -> Floats:
        """Mean log distance of each bin."""
        return self.sums(np.log(self.feet)) / np.maximum(self.sums(np.ones(len(self.feet))), 1)

    def correction(self, left: Floats, variance: Floats, slope: Floats, day: float) -> Correction:
        """The correction from what is left of observations of first putts, whose distances no day has chosen.

        ``slope``: by how much an observation's expectation moves with the scale; the day moves it in the same way, by
        as much as it moves makes or, because it moves what is left as well, by as much more as rounds differ.
        """
        information = self.sums(slope)
        used = information > LEAST_INFORMATION
        if not np.any(used):
            return _nothing_known(BESIDE)
        residual = self.sums(left)[used] / information[used]
        own = self.sums(variance)[used] / information[used] ** 2
        day = max(day, self._day_variance(left, variance, slope))
        shares = self.by_round(slope)[:, used] / information[used]
        covariance = np.diag(own) + day * shares.T @ shares
        at = self.at[used]
        return Correction(at, residual, covariance, _sizes(at, residual, covariance, BESIDE), BESIDE)

    def _day_variance(self, left: Floats, variance: Floats, slope: Floats) -> float:
        """By moments: how much more rounds differ than single observations explain, in the scale of the correction."""
        off = self.sums(left) / np.maximum(self.sums(slope), LEAST_INFORMATION)
        total = np.bincount(self.rounds, weights=left - slope * off[self.bins])
        if len(total) < MINIMUM_ROUNDS:
            return 0.0
        weight = np.bincount(self.rounds, weights=slope)
        return min((float(np.sum(total**2)) - float(np.sum(variance))) / float(np.sum(weight**2)), 1.0)


def _right_by_distance(binned: _Binned, holed: Bools, odds: Floats) -> Floats:
    """Chances of the model moved to the share holed in each bin."""
    make = special.expit(odds)
    off = binned.sums(holed - make) / np.maximum(binned.sums(make * (1 - make)), LEAST_INFORMATION)
    moved: Floats = special.expit(odds + np.clip(off, -1.5, 1.5)[binned.bins])
    return moved


def _correction_of_makes(binned: _Binned, holed: Bools, odds: Floats, days: Days) -> Correction:
    """Log odds of makes on the usual day, linearised at each step around what has been found (Newton's method)."""
    around, form = np.zeros(binned.count), 0.0
    correction = _nothing_known(OF_MAKES)
    for _ in range(STEPS):
        make = special.expit(odds + around[binned.bins] + form * days.level[days.round])
        weight = binned.by_round(make * (1 - make))
        used = np.sum(weight, axis=0) > LEAST_INFORMATION
        if not np.any(used):
            return correction
        move, covariance = within_days(
            weight[:, used], binned.by_round(holed - make)[:, used], days, form / FORM_SD**2
        )
        residual, covariance, at = move[:-1] + around[used], covariance[:-1, :-1], binned.at[used]
        correction = Correction(
            at, residual, covariance, _sizes(at, residual, covariance, OF_MAKES), OF_MAKES
        )
        form += float(np.clip(move[-1], -1, 1))
        around = np.clip(correction.on(np.exp(binned.at))[0], around - 1, around + 1)
    return correction


def _sizes(place: Floats, residual: Floats, covariance: Floats, prior: Prior) -> Floats:
    """Probability of each size of the corrections given what is left in the bins."""
    log_weight = []
    for size in SIZES.tolist():
        total = _kernel(place, place, size, prior.tilt) + covariance
        misfit = float(residual @ np.linalg.solve(total, residual))
        log_weight.append(
            -0.5 * (misfit + float(np.linalg.slogdet(total)[1]) + (size / prior.usual_size) ** 2)
        )
    weight = np.exp(np.array(log_weight) - max(log_weight))
    scaled: Floats = weight / np.sum(weight)
    return scaled


def _kernel(first: Floats, second: Floats, size: float, tilt: float) -> Floats:
    """Covariance of a correction at two places (log distances)."""
    apart = np.sqrt(3) * np.abs(np.subtract.outer(first, second)) / LENGTH
    wiggle = size**2 * (1 + apart) * np.exp(-apart)
    covariance: Floats = wiggle + tilt**2 * (1 + np.outer(first - MIDDLE, second - MIDDLE))
    return covariance
