"""Putts to hole out from a first-putt distance: a Markov chain over the distance left.

Every putt is holed by the make model or leaves the ball at a distance drawn by
:mod:`golfstats.calc.putting.leave`, from which the next is played with the same spreads. The chain
of make and leave is the idea of Fearing, Acimovic and Graves (2011); the leave distribution here is
our own and not theirs.

From far away misses spread more than makes and nearer misses suggest: with one spread at all distances professionals
would three-putt 18% from 60 feet and 31% from 90, where 23% and 41% are published (from memory; Broadie 2012 and 2014).
So the roll of first putts that miss spreads more from beyond :data:`LONG_FT`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from golfstats.calc.putting.leave import leave_probabilities
from golfstats.calc.putting.make_model import log_make_and_miss
from golfstats.calc.record import Floats

LEAVE_EDGES_FT = np.concatenate([[0.0], np.geomspace(0.15, 150.0, 81), [np.inf]])
"""Cells of the distance left, 9% wide: expected putts move by less than 0.0002 with twice as many."""
STATES_FT = np.concatenate([[0.1], np.sqrt(LEAVE_EDGES_FT[1:-2] * LEAVE_EDGES_FT[2:-1]), [160.0]])
"""Distance from which the next putt of each cell is played."""

LONG_FT = 38.0
"""From here on the roll of a miss spreads more."""
LONG_GROWTH = 0.45
"""By so much of the usual spread for each e-fold of the distance: our fit to the published three-putts."""


@dataclass(frozen=True)
class Outcomes:
    """What follows from each first-putt distance (equally long columns)."""

    distance_ft: Floats
    expected_putts: Floats
    one: Floats
    """Chance to hole the first putt."""
    two: Floats
    three_or_more: Floats


def long_stretch(distance_ft: ArrayLike) -> Floats:
    """Factor on the spread of the roll of a putt that misses."""
    stretched: Floats = 1 + LONG_GROWTH * np.log(np.maximum(np.asarray(distance_ft) / LONG_FT, 1.0))
    return stretched


@dataclass(frozen=True)
class MakesAndLeaves:
    """From some distances by the two spreads alone; one row each, one column a cell of the distance left."""

    log_make: Floats
    log_miss: Floats
    leaves: Floats
    """Chance to miss and leave the ball in each cell."""


@lru_cache(maxsize=64)
def between_states(direction_sd: float, distance_sd: float) -> MakesAndLeaves:
    """From each of :data:`STATES_FT`. A golfer's few spreads are asked for again and again: kept."""
    putts = _makes_and_leaves(STATES_FT, direction_sd, distance_sd, distance_sd)
    for column in (putts.log_make, putts.log_miss, putts.leaves):
        column.flags.writeable = False
    return putts


def _first_putts(distance_ft: Floats, direction_sd: float, distance_sd: float) -> MakesAndLeaves:
    """From far away misses spread more, and are no more for it."""
    putts = _makes_and_leaves(
        distance_ft, direction_sd, distance_sd, distance_sd * long_stretch(distance_ft)[:, None]
    )
    long = distance_ft > LONG_FT
    missed = np.exp(putts.log_miss[long]) / np.sum(putts.leaves[long], axis=1)
    putts.leaves[long] *= missed[:, None]
    return putts


def _makes_and_leaves(
    feet: Floats, direction_sd: float, distance_sd: float, missed_sd: float | Floats
) -> MakesAndLeaves:
    leaves = leave_probabilities(feet, LEAVE_EDGES_FT, direction_sd, missed_sd)
    return MakesAndLeaves(*log_make_and_miss(feet, direction_sd, distance_sd), leaves)


class Chain:
    """The chain of a golfer with two spreads, ready to be asked with makes that differ from the model's.

    ``direction_sd`` is in radians, ``distance_sd`` a fraction of the roll; both above zero.
    """

    def __init__(self, distance_ft: ArrayLike, direction_sd: float, distance_sd: float) -> None:
        self.first = np.atleast_1d(np.asarray(distance_ft, dtype=np.float64))
        self.feet = np.concatenate([self.first, STATES_FT])
        first = _first_putts(self.first, direction_sd, distance_sd)
        later = between_states(direction_sd, distance_sd)
        self.log_make = np.concatenate([first.log_make, later.log_make])
        self.log_miss = np.concatenate([first.log_miss, later.log_miss])
        self.leaves = np.concatenate([first.leaves, later.leaves])

    def outcomes(self, log_odds: Floats | None = None) -> Outcomes:
        """``log_odds`` are added to the make model's, for first distances and then for :data:`STATES_FT`."""
        make, leaves = self._with(log_odds)
        count = len(self.first)
        from_first, from_state = leaves[:count], leaves[count:]
        putts_from_state = np.linalg.solve(np.eye(len(STATES_FT)) - from_state, np.ones(len(STATES_FT)))
        one = make[:count]
        two = from_first @ make[count:]
        return Outcomes(
            distance_ft=self.first,
            expected_putts=1.0 + from_first @ putts_from_state,
            one=one,
            two=two,
            three_or_more=np.maximum(1.0 - one - two, 0.0),
        )

    def slopes(self, log_odds: Floats) -> tuple[Floats, Floats]:
        """How expected putts and the chance of three or more move with the log odds of holing, at ``log_odds``.

        One row a first distance, one column each of ``feet``. A putt from a state that is visited n times on average
        moves expected putts by n times what it moves those from there: the adjoint of the chain's linear equations.
        """
        make, leaves = self._with(log_odds)
        count = len(self.first)
        from_first, stay = leaves[:count], np.eye(len(STATES_FT)) - leaves[count:]
        beyond = np.concatenate([from_first, leaves[count:]]) @ np.linalg.solve(stay, np.ones(len(STATES_FT)))
        visits = np.linalg.solve(stay.T, from_first.T).T
        two = from_first @ make[count:]
        own = -make[:count, None] * np.eye(count)
        putts = np.hstack([own * beyond[:count, None], -visits * make[count:] * beyond[count:]])
        three = np.hstack(
            [
                own * (1 - make[:count] - two)[:, None],
                -from_first * make[count:] * (1 - make[count:]),
            ]
        )
        return putts, three

    def _with(self, log_odds: Floats | None) -> tuple[Floats, Floats]:
        """Chances to hole, and those to leave the ball in each cell, with log odds beside the model's."""
        if log_odds is None:
            return np.exp(self.log_make), self.leaves
        make = special.expit(self.log_make - self.log_miss + log_odds)
        return make, self.leaves * ((1 - make) / np.exp(self.log_miss))[:, None]


def putting_outcomes(distance_ft: ArrayLike, direction_sd: float, distance_sd: float) -> Outcomes:
    """Expected putts and the chances of one, two, and three or more from each distance.

    ``direction_sd`` is in radians, ``distance_sd`` a fraction of the roll; both above zero.
    """
    return Chain(distance_ft, direction_sd, distance_sd).outcomes()
