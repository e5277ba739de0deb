"""What wider spreads cost: expected putts from a distance as an absorbing chain of leaves.

From each distance the ball is holed or left at another distance; expected putts solve V = 1 + T V with
T the chances of the leaves (the chained Markov states of Fearing, Acimovic and Graves, JQAS 7(1), 2011,
with the make model's two errors in place of their regressions).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from golfstats.calc.putting.leave import leave_probabilities
from golfstats.calc.record import Floats

STATE_EDGES_FT = np.concatenate([[0.0], np.geomspace(0.5, 100.0, 44), [np.inf]])
STATES_FT = np.concatenate([[0.3], np.sqrt(STATE_EDGES_FT[1:-2] * STATE_EDGES_FT[2:-1]), [110.0]])
WIDENINGS = np.array([-0.2, 0.1, 0.4, 1.0])
"""Relative growth of a spread at which the cost is worked out exactly."""


def expected_putts(distance_ft: ArrayLike, direction_sd: float, distance_sd: float) -> Floats:
    """Expected putts to hole out from each distance with these spreads (radians, share of the roll)."""
    leaves = leave_probabilities(STATES_FT, STATE_EDGES_FT, direction_sd, distance_sd)
    putts = np.linalg.solve(np.eye(len(STATES_FT)) - leaves, np.ones(len(STATES_FT)))
    return np.asarray(np.interp(np.asarray(distance_ft, dtype=np.float64), STATES_FT, putts))


@dataclass(frozen=True)
class PuttCost:
    """Extra expected putts by distance, when direction spread grows by u and distance spread by v.

    A quadratic in (u, v) without constant, fitted to the exact chain at each distance; within 0.01
    putts a hole of it for growth up to +100%.
    """

    distance_ft: Floats
    coefficients: Floats
    """For u, v, u², u v, v²; distances × 5."""

    def per_putt(self, distance_ft: Floats, u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        """Extra putts from each first-putt distance, and their derivatives by u and by v."""
        c = np.stack(
            [np.interp(distance_ft, self.distance_ft, column) for column in self.coefficients.T], axis=0
        )
        extra: Floats = c[0] * u + c[1] * v + c[2] * u * u + c[3] * u * v + c[4] * v * v
        return extra, c[0] + 2 * c[2] * u + c[3] * v, c[1] + c[3] * u + 2 * c[4] * v


def putt_cost(direction_sd: float, distance_sd: float) -> PuttCost:
    """The cost of wider spreads for a golfer with these spreads on undisturbed greens."""
    u, v = (grid.ravel() for grid in np.meshgrid(WIDENINGS, WIDENINGS, indexing="ij"))
    base = expected_putts(STATES_FT, direction_sd, distance_sd)
    extra = np.stack(
        [
            expected_putts(STATES_FT, direction_sd * (1 + du), distance_sd * (1 + dv)) - base
            for du, dv in zip(u, v, strict=True)
        ]
    )
    design = np.stack([u, v, u * u, u * v, v * v], axis=1)
    coefficients = np.linalg.lstsq(design, extra, rcond=None)[0]
    return PuttCost(STATES_FT, coefficients.T)
