"""The step of a level that explains most of what rounds show, and how likely it is one.

For every round with enough rounds on each side the model of :mod:`~golfstats.calc.coaching.trends` is compared with the
same model plus a step that begins at that round, the drift being free in both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.record import Floats

ROUNDS_EACH_SIDE = 5
"""A step needs this many rounds before and after it: one odd day is no new level."""
EXACT = 1e-9
"""Less than this share of the rounds' squares left beside a step is nothing but rounding."""


@dataclass(frozen=True)
class Step:
    """The step of the level that explains most beside a walk."""

    row: int
    """Its first round."""
    size: float
    scale: float
    """Of what is not known of the size."""
    statistic: float
    """Twice the gain in the penalised log-likelihood, the drift being free with and without it."""
    threshold: float
    """Value of the statistic that at most 5% of series without a step pass."""

    @property
    def chance(self) -> float:
        """That the level jumped, taken as even at the threshold."""
        return float(special.expit((self.statistic - self.threshold) / 2))


def threshold(rounds: int) -> float:
    """Of the statistic of a step.

    By simulation with 10 to 120 rounds, by chance alone, with neighbours alike (autocorrelation 0.5), spells of form,
    odd days and a level that climbs by 1.5 times a round's noise in a year. Few rounds cannot tell form from a step.
    """
    return min(8.0 + 5.0 * math.log(rounds / 10), 13.5)


def best_step(score: Floats, information: Floats, residual_sum: Floats, log_evidence: Floats) -> Step | None:
    """The best step whatever its statistic; ``None`` when there are too few rounds for any.

    ``score`` and ``information`` of a step from each row on (rows × settings), in units of a round's variance;
    ``residual_sum`` and ``log_evidence`` by setting, without a step.
    """
    n = len(score)
    if n < 2 * ROUNDS_EACH_SIDE:
        return None
    rows = np.arange(ROUNDS_EACH_SIDE, n - ROUNDS_EACH_SIDE + 1)
    share = np.maximum(1 - score[rows] ** 2 / information[rows] / residual_sum, EXACT)
    gained = 2 * log_evidence - (n - 1) * np.log(share)
    best = int(np.argmax(np.max(gained, axis=1)))
    row = int(rows[best])
    size = score[row] / information[row]
    left = _left_beside(share[best], size, residual_sum)
    with_step = 2 * log_evidence - (n - 1) * np.log(left)
    setting = int(np.argmax(with_step))
    variance = left[setting] * residual_sum[setting] / (n - 2) / information[row, setting]
    return Step(
        row,
        size=float(size[setting]),
        scale=math.sqrt(float(variance)),
        statistic=float(with_step[setting] - np.max(2 * log_evidence)),
        threshold=threshold(n),
    )


def _left_beside(share: Floats, size: Floats, residual_sum: Floats) -> Floats:
    """Share of the sum of squares that is taken for left beside a step, by setting.

    Where a step explains the rounds exactly (none had a penalty, then each had one), they are alike before it and
    after it and tell nothing of how rounds differ: the size would have no width and the chance be 1. Then it is taken
    as though half a round more had been otherwise by as much as the step, as Jeffreys' prior of a share has half a
    success more.
    """
    left: Floats = np.where(share <= EXACT, np.minimum(0.5 * size**2 / residual_sum, 1.0), share)
    return left
