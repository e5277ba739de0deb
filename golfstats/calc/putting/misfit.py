"""What a player's putts say that two spreads cannot: corrections by distance, and days that go together.

No two numbers describe every putter. So the makes of the model are corrected by distance, in log odds, and what then
is still left of putts to hole out and of three-putts is corrected too: each correction is a Gaussian process over the
logarithm of the distance (Rasmussen and Williams 2006, from memory), a level and a tilt among it, whose size the putts
choose themselves. Putts of a round share the day's form and greens: its variance in log odds comes from how
much more rounds differ than single putts explain, and stays in every interval.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.outcomes import Chain, Outcomes
from golfstats.calc.record import Bools, Floats, Ints

EDGES_FT: Floats = np.array([0.0, 2, 3, 4, 5, 6.5, 8, 10, 13, 17, 22, 30, 40, 55, np.inf])
NODES_FT: Floats = np.geomspace(0.5, 120.0, 45)
"""Distances at which the model is worked out; putts between two get a value between."""
LENGTH = 0.5
"""Correlation length of corrections in the logarithm of the distance: a factor of 1.6."""
SIZES: Floats = np.array([0.05, 0.12, 0.25, 0.45, 0.8])
"""Grid of the corrections' standard deviation."""
USUAL_SIZE = 0.35
"""Scale of its half-normal prior (our judgement: makes of other curves differ by so much in log odds)."""
TILT = 0.5
"""Standard deviation of the level, and of the tilt for each e-fold of the distance, of makes."""
TILT_BESIDE = 0.2
"""The same for what is left of putts and three-putts once the makes are right."""
MIDDLE = float(np.log(12.0))
LEAST_INFORMATION = 0.5
"""Bins with less (in expected successes and failures) are left to their neighbours."""
STEPS = 6
MINIMUM_ROUNDS = 5
"""Rounds below which days cannot be told from putts: the usual day is taken."""
USUAL_DAY = 0.15
"""Standard deviation of the day's form in log odds, for few rounds (our judgement)."""
MAKE, EXTRA, THREE = 0, 1, 2
"""Scales: log odds of holing, log of the expected putts beyond the first, log odds of three putts or more."""


@dataclass(frozen=True)
class Correction:
    """A correction known at the centres of bins, by size of the corrections."""

    at: Floats
    """Log distances of the bins."""
    residual: Floats
    covariance: Floats
    weight: Floats
    """Probability of each size of the grid."""
    tilt: float

    def on(self, distance_ft: Floats) -> tuple[Floats, Floats]:
        """Mean and covariance of the correction at distances."""
        place = np.log(distance_ft)
        mean, square = np.zeros(len(place)), np.zeros((len(place), len(place)))
        for size, weight in zip(SIZES.tolist(), self.weight.tolist(), strict=True):
            to_bins = _kernel(place, self.at, size, self.tilt)
            solved = np.linalg.solve(
                _kernel(self.at, self.at, size, self.tilt) + self.covariance, to_bins.T
            ).T
            here = solved @ self.residual
            mean += weight * here
            square += weight * (
                _kernel(place, place, size, self.tilt) - solved @ to_bins.T + np.outer(here, here)
            )
        return mean, square - np.outer(mean, mean)


@dataclass(frozen=True)
class Misfit:
    """Corrections by scale, and how much days widen what a player's putts say."""

    make: Correction
    extra: Correction
    """Of putts beyond the first, once makes are corrected."""
    three: Correction
    """Of three putts or more, likewise."""
    day_sd: float
    """Of the day's form in log odds of holing."""
    stretch: tuple[float, float]
    """Factors on the variances of the two log spreads: putts of one day are not independent."""


def _nothing_known(tilt: float) -> Correction:
    weight = np.exp(-0.5 * (SIZES / USUAL_SIZE) ** 2)
    return Correction(np.empty(0), np.empty(0), np.empty((0, 0)), weight / np.sum(weight), tilt)


NO_PUTTS = Misfit(
    _nothing_known(TILT), _nothing_known(TILT_BESIDE), _nothing_known(TILT_BESIDE), USUAL_DAY, (1.0, 1.0)
)


def misfit_of(putts: Putts, direction_sd: float, distance_sd: float) -> Misfit:
    """What the model with these two spreads leaves of one player's putts."""
    chain = Chain(NODES_FT, direction_sd, distance_sd)
    model = scales_of(chain.outcomes())
    odds = _between(model[:, MAKE], putts.distance_ft)
    day = _day_variance(putts, odds)
    make = _correction_of_makes(putts, odds, day)
    corrected = scales_of(chain.outcomes(make.on(chain.feet)[0]))
    first, taken = _holes(putts)
    extra = np.exp(_between(corrected[:, EXTRA], putts.distance_ft[first]))
    three = special.expit(_between(corrected[:, THREE], putts.distance_ft[first]))
    beside = _Binned(putts, first)
    return Misfit(
        make,
        beside.correction(
            (taken - 1).astype(np.float64) - extra, _variance_of_extra(extra, three), extra, day
        ),
        beside.correction(
            (taken >= 3).astype(np.float64) - three, three * (1 - three), three * (1 - three), day
        ),
        float(np.sqrt(day)),
        (_make_stretch(special.expit(odds), putts.round, day), _leave_stretch(putts)),
    )


def scales_of(outcomes: Outcomes) -> Floats:
    """Columns by scale: log odds of one putt, log of putts beyond the first, log odds of three or more."""
    tiny = 1e-9
    one, three = (np.clip(chance, tiny, 1 - tiny) for chance in (outcomes.one, outcomes.three_or_more))
    extra = np.log(np.maximum(outcomes.expected_putts - 1.0, tiny))
    return np.column_stack([special.logit(one), extra, special.logit(three)])


def corrected_scales(chain: Chain, misfit: Misfit) -> tuple[Floats, Floats]:
    """The scales of a chain with the player's corrections, and the variance that the corrections' doubt gives them.

    The doubt about makes runs through the chain: along each of its main directions, to first order.
    """
    count = len(chain.first)
    mean, covariance = misfit.make.on(chain.feet)
    centre = scales_of(chain.outcomes(mean))
    variance = np.zeros_like(centre)
    sizes, directions = np.linalg.eigh(covariance)
    for size, direction in zip(sizes[-6:], directions.T[-6:], strict=True):
        move = np.sqrt(max(float(size), 0.0)) * direction
        up, down = (scales_of(chain.outcomes(mean + sign * move)) for sign in (1, -1))
        variance += ((up - down) / 2) ** 2
    for scale, correction in ((EXTRA, misfit.extra), (THREE, misfit.three)):
        added, doubt = correction.on(chain.first)
        centre[:, scale] += added
        variance[:, scale] += np.diag(doubt)
    variance[:, MAKE] = np.diag(covariance)[:count]
    return centre, variance


def _between(column: Floats, distance_ft: Floats) -> Floats:
    return np.interp(np.log(distance_ft), np.log(NODES_FT), column)


def _variance_of_extra(extra: Floats, three: Floats) -> Floats:
    """Of putts beyond the first: 0, 1 or (with the chance of three putts) 2."""
    return np.maximum(extra + 2 * three - extra**2, 1e-6)


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

    def correction(
        self,
        left: Floats,
        variance: Floats,
        slope: Floats,
        day: float,
        around: Floats | None = None,
        tilt: float = TILT_BESIDE,
    ) -> Correction:
        """The correction from what is left of observations, linear around ``around`` (one value a bin).

        ``slope``: by how much an observation's expectation moves with the scale; the day moves it in the same way.
        """
        information = self.sums(slope)
        used = information > LEAST_INFORMATION
        if not np.any(used):
            return _nothing_known(tilt)
        residual = self.sums(left)[used] / information[used]
        if around is not None:
            residual = residual + around[used]
        own = self.sums(variance)[used] / information[used] ** 2
        shares = np.zeros((int(self.rounds.max()) + 1, self.count))
        np.add.at(shares, (self.rounds, self.bins), slope)
        shares = shares[:, used] / information[used]
        covariance = np.diag(own) + day * shares.T @ shares
        at = (self.sums(np.log(self.feet)) / np.maximum(self.sums(np.ones(len(self.feet))), 1))[used]
        return Correction(at, residual, covariance, _sizes(at, residual, covariance, tilt), tilt)


def _correction_of_makes(putts: Putts, odds: Floats, day: float) -> Correction:
    """Log odds of makes, linearised again at each step around what has been found (Newton's method)."""
    binned = _Binned(putts, np.ones(len(putts), dtype=np.bool_))
    centres = binned.sums(np.log(binned.feet)) / np.maximum(binned.sums(np.ones(len(putts))), 1)
    around = np.zeros(binned.count)
    found = _nothing_known(TILT)
    for _ in range(STEPS):
        make = special.expit(odds + around[binned.bins])
        slope = make * (1 - make)
        found = binned.correction(putts.holed - make, slope, slope, day, around, TILT)
        around = np.clip(found.on(np.exp(centres))[0], around - 1, around + 1)
    return found


def _sizes(place: Floats, residual: Floats, covariance: Floats, tilt: float) -> Floats:
    """Probability of each size of the corrections given what is left in the bins."""
    log_weight = []
    for size in SIZES.tolist():
        total = _kernel(place, place, size, tilt) + covariance
        misfit = float(residual @ np.linalg.solve(total, residual))
        log_weight.append(-0.5 * (misfit + float(np.linalg.slogdet(total)[1]) + (size / USUAL_SIZE) ** 2))
    weight = np.exp(np.array(log_weight) - max(log_weight))
    scaled: Floats = weight / np.sum(weight)
    return scaled


def _kernel(first: Floats, second: Floats, size: float, tilt: float) -> Floats:
    """Covariance of a correction at two places (log distances)."""
    wiggle = size**2 * np.exp(-0.5 * (np.subtract.outer(first, second) / LENGTH) ** 2)
    covariance: Floats = wiggle + tilt**2 * (1 + np.outer(first - MIDDLE, second - MIDDLE))
    return covariance


def _day_variance(putts: Putts, odds: Floats) -> float:
    """Variance of the day's form in log odds, by moments: how much more rounds differ than putts explain."""
    make = special.expit(odds)
    binned = _Binned(putts, np.ones(len(putts), dtype=np.bool_))
    # the misfit by distance is no form of a day: take the share holed in each bin for the model's
    off = binned.sums(putts.holed - make) / np.maximum(binned.sums(make * (1 - make)), LEAST_INFORMATION)
    make = special.expit(odds + np.clip(off, -1.5, 1.5)[binned.bins])
    total = np.bincount(binned.rounds, weights=putts.holed - make)
    weight = np.bincount(binned.rounds, weights=make * (1 - make))
    if len(total) < MINIMUM_ROUNDS:
        return USUAL_DAY**2
    found = (float(np.sum(total**2)) - float(np.sum(weight))) / float(np.sum(weight**2))
    return min(max(found, 0.0), 1.0)


def _make_stretch(make: Floats, round: Ints, day: float) -> float:
    rounds = np.unique(round, return_inverse=True)[1]
    weight = np.bincount(rounds, weights=make * (1 - make))
    return 1 + day * float(np.sum(weight**2)) / max(float(np.sum(weight)), 1e-9)


def _leave_stretch(putts: Putts) -> float:
    """Design effect of rounds on the size of what misses leave, for their distance."""
    missed = ~putts.holed & (putts.leave_ft > 0) & (putts.distance_ft >= 10)
    if int(np.sum(missed)) < 20:
        return 1.0
    rounds = np.unique(putts.round[missed], return_inverse=True)[1]
    size = np.log(putts.leave_ft[missed])
    line = np.column_stack([np.ones(len(size)), np.log(putts.distance_ft[missed])])
    left = size - line @ np.linalg.lstsq(line, size, rcond=1e-9)[0]
    between = float(np.sum(np.bincount(rounds, weights=left) ** 2))
    return max(between / max(float(left @ left), 1e-9), 1.0)
