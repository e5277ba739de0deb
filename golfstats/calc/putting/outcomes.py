"""Putts to hole out from a first-putt distance: a Markov chain over the distance left.

Every putt is holed by the make model or leaves the ball at a distance drawn by
:mod:`golfstats.calc.putting.leave`, from which the next is played with the same spreads. The chain
of make and leave is the idea of Fearing, Acimovic and Graves (2011); the leave distribution here is
our own and not theirs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from golfstats.calc.putting.leave import leave_probabilities
from golfstats.calc.putting.make_model import make_probability
from golfstats.calc.record import Floats

LEAVE_EDGES_FT = np.concatenate([[0.0], np.geomspace(0.15, 150.0, 81), [np.inf]])
"""Cells of the distance left, 9% wide: expected putts move by less than 0.0002 with twice as many."""
STATES_FT = np.concatenate([[0.1], np.sqrt(LEAVE_EDGES_FT[1:-2] * LEAVE_EDGES_FT[2:-1]), [160.0]])
"""Distance from which the next putt of each cell is played."""


@dataclass(frozen=True)
class Outcomes:
    """What follows from each first-putt distance (equally long columns)."""

    distance_ft: Floats
    expected_putts: Floats
    one: Floats
    """Chance to hole the first putt."""
    two: Floats
    three_or_more: Floats


def putting_outcomes(distance_ft: ArrayLike, direction_sd: float, distance_sd: float) -> Outcomes:
    """Expected putts and the chances of one, two, and three or more from each distance.

    ``direction_sd`` is in radians, ``distance_sd`` a fraction of the roll; both above zero.
    """
    first = np.atleast_1d(np.asarray(distance_ft, dtype=np.float64))
    leaves = leave_probabilities(
        np.concatenate([first, STATES_FT]), LEAVE_EDGES_FT, direction_sd, distance_sd
    )
    from_first, between_states = leaves[: len(first)], leaves[len(first) :]
    putts_from_state = np.linalg.solve(np.eye(len(STATES_FT)) - between_states, np.ones(len(STATES_FT)))
    one = make_probability(first, direction_sd, distance_sd)
    two = from_first @ make_probability(STATES_FT, direction_sd, distance_sd)
    return Outcomes(
        distance_ft=first,
        expected_putts=1.0 + from_first @ putts_from_state,
        one=one,
        two=two,
        three_or_more=np.maximum(1.0 - one - two, 0.0),
    )
