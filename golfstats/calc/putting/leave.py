"""Where a missed putt finishes: the distance left, with the same two errors as the make model.

A putt from x rolls r = (x + over)(1 + distance_sd z) in a straight line at an angle t off the hole and
finishes sqrt(x^2 + r^2 - 2 x r cos t) from it, unless it is holed. For a fixed angle the rolls that
finish within d of the hole are an interval, so its probability is a difference of normal
distribution functions, and the angle is integrated by Gauss-Legendre quadrature.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from golfstats.calc.putting.make_model import OVERSHOT_FT, TOLERANCE_FT, capture_angle, log_make_and_miss
from golfstats.calc.record import Floats

WIDEST_SPREADS = 6.0
"""Errors beyond this many spreads do not count (2e-9 of the putts)."""
NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
"""Of an integral over so many spreads: within 1e-6 of 96 nodes."""


def leave_cdf(
    distance_ft: ArrayLike, leave_ft: ArrayLike, direction_sd: ArrayLike, distance_sd: ArrayLike
) -> Floats:
    """Chance that the putt misses *and* finishes within ``leave_ft`` of the hole; arguments broadcast.

    Tends to the chance of a miss as ``leave_ft`` grows. Spreads are above zero: radians, and a
    fraction of the roll.
    """
    x, leave, direction, pace = np.broadcast_arrays(
        *(np.asarray(value, dtype=np.float64) for value in (distance_ft, leave_ft, direction_sd, distance_sd))
    )
    within = np.asarray(np.exp(log_make_and_miss(x, direction, pace)[1]))
    some = leave < longest_leave(x, direction, pace)
    within[some] = _missed_within(*(column[some][:, None] for column in (x, leave, direction, pace)))
    return within


def longest_leave(distance_ft: Floats, direction_sd: Floats, distance_sd: Floats) -> Floats:
    """Feet from the hole within which every missed putt finishes."""
    longest_roll = (distance_ft + OVERSHOT_FT) * (1 + WIDEST_SPREADS * distance_sd)
    aside = longest_roll * WIDEST_SPREADS * direction_sd
    longest: Floats = np.maximum(distance_ft, longest_roll - distance_ft) + aside
    return longest


def leave_probabilities(
    distance_ft: Floats, edges_ft: Floats, direction_sd: float, distance_sd: float | Floats
) -> Floats:
    """Chance to miss and leave the ball between consecutive edges.

    One row a distance, one column a pair of edges; the rows sum to the chance of a miss when the
    edges run from 0 to infinity. ``distance_sd`` is one for all rows, or a column of one each.
    """
    within = np.zeros((len(distance_ft), len(edges_ft)))
    some = edges_ft > 0
    within[:, some] = leave_cdf(distance_ft[:, None], edges_ft[some], direction_sd, distance_sd)
    return np.maximum(np.diff(within, axis=1), 0.0)


def _missed_within(x: Floats, leave: Floats, direction: Floats, pace: Floats) -> Floats:
    """The chance of :func:`leave_cdf` where not every miss finishes within the leave; one row each, one column."""
    # A line further off than this passes the hole at more than the leave.
    tangent = np.where(leave < x, np.arcsin(np.minimum(leave / x, 1.0)), np.pi / 2)
    widest = np.minimum(tangent, WIDEST_SPREADS * direction)
    inside = np.minimum(capture_angle(x), widest)
    on_line = _integrate(np.zeros(1), inside, x, leave, direction, pace, can_drop=True)
    off_line = _integrate(inside, widest, x, leave, direction, pace, can_drop=False)
    return on_line + off_line


def _integrate(
    low: Floats, high: Floats, x: Floats, leave: Floats, direction: Floats, pace: Floats, *, can_drop: bool
) -> Floats:
    """Chance of a line between two angles, on either side of the hole, and a roll ending within the leave."""
    # sin(angle) / sin(high) = sin(turn) takes away the square-root corner at the tangent line.
    widest = np.sin(high)
    first = np.arcsin(np.minimum(np.sin(low) / widest, 1.0))
    half = (np.pi / 2 - first) / 2
    turn = first + half * (NODES + 1)
    sine = widest * np.sin(turn)
    cosine = np.sqrt(1.0 - sine * sine)
    spreads = np.arcsin(sine) / direction
    density = np.exp(-0.5 * spreads * spreads) * widest * np.cos(turn) / cosine

    aside, along = x * sine, x * cosine
    reach = np.sqrt(np.maximum(leave * leave - aside * aside, 0.0))
    far = _rolls_to(along + reach, x, pace)
    chance = far - _rolls_to(along - reach, x, pace)
    if can_drop:
        reached, passed = _rolls_to(x, x, pace), _rolls_to(x + TOLERANCE_FT, x, pace)
        chance -= np.clip(far, reached, passed) - reached
    both_sides = 2 / (direction * np.sqrt(2 * np.pi))
    total: Floats = (density * chance) @ WEIGHTS * (half * both_sides)[:, 0]
    return total


def _rolls_to(roll: Floats, x: Floats, pace: Floats) -> Floats:
    """Chance that the ball rolls no further than this."""
    return special.ndtr((roll / (x + OVERSHOT_FT) - 1.0) / pace)
