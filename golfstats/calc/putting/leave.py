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

from golfstats.calc.putting.make_model import OVERSHOT_FT, TOLERANCE_FT, capture_angle
from golfstats.calc.record import Floats

NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)
WIDEST_SPREADS = 8.0
"""Angles beyond this many spreads do not count (1e-15 of the putts)."""


def leave_cdf(
    distance_ft: ArrayLike, leave_ft: ArrayLike, direction_sd: ArrayLike, distance_sd: ArrayLike
) -> Floats:
    """Chance that the putt misses *and* finishes within ``leave_ft`` of the hole; arguments broadcast.

    Tends to the chance of a miss as ``leave_ft`` grows. Spreads are above zero: radians, and a
    fraction of the roll.
    """
    x, leave, direction, pace = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=np.float64)[..., None]
            for value in (distance_ft, leave_ft, direction_sd, distance_sd)
        )
    )
    # A line further off than this passes the hole at more than the leave.
    tangent = np.where(leave < x, np.arcsin(np.minimum(leave / x, 1.0)), np.pi)
    widest = np.minimum(tangent, WIDEST_SPREADS * direction)
    inside = np.minimum(capture_angle(x), widest)
    on_line = _integrate(np.zeros_like(x), inside, x, leave, direction, pace, can_drop=True)
    off_line = _integrate(inside, widest, x, leave, direction, pace, can_drop=False)
    return on_line + off_line


def leave_probabilities(
    distance_ft: Floats, edges_ft: Floats, direction_sd: float, distance_sd: float
) -> Floats:
    """Chance to miss and leave the ball between consecutive edges.

    One row a distance, one column a pair of edges; the rows sum to the chance of a miss when the
    edges run from 0 to infinity.
    """
    within = np.zeros((len(distance_ft), len(edges_ft)))
    some = edges_ft > 0
    within[:, some] = leave_cdf(distance_ft[:, None], edges_ft[some], direction_sd, distance_sd)
    return np.maximum(np.diff(within, axis=1), 0.0)


def _integrate(
    low: Floats, high: Floats, x: Floats, leave: Floats, direction: Floats, pace: Floats, *, can_drop: bool
) -> Floats:
    """Chance of a line between two angles, on either side of the hole, and a roll ending within the leave."""
    # sin(angle) / sin(high) = sin(turn) takes away the square-root corner at the tangent line.
    top = np.minimum(high, np.pi / 2)
    sine = np.sin(top)
    first = np.arcsin(np.clip(np.sin(np.minimum(low, top)) / sine, 0.0, 1.0))
    half = (np.pi / 2 - first) / 2
    turn = first + half * (NODES + 1)
    angle = np.arcsin(sine * np.sin(turn))
    slope = sine * np.cos(turn) / np.cos(angle)
    density = 2 * np.exp(-0.5 * (angle / direction) ** 2) / (direction * np.sqrt(2 * np.pi))

    reach = np.sqrt(np.maximum(leave**2 - (x * np.sin(angle)) ** 2, 0.0))
    nearest, farthest = x * np.cos(angle) - reach, x * np.cos(angle) + reach
    chance = _rolls_to(farthest, x, pace) - _rolls_to(nearest, x, pace)
    if can_drop:
        drops = np.clip(farthest, x, x + TOLERANCE_FT)
        chance -= _rolls_to(drops, x, pace) - _rolls_to(x, x, pace)
    total: Floats = np.sum(density * slope * chance * WEIGHTS, axis=-1) * half[..., 0]
    return total


def _rolls_to(roll: Floats, x: Floats, pace: Floats) -> Floats:
    """Chance that the ball rolls no further than this."""
    return special.ndtr((roll / (x + OVERSHOT_FT) - 1.0) / pace)
