"""What the first putts of a round say about its greens: strokes a round over the player's own putting on usual greens.

A stroke may be to blame as well as the greens, and a few putts say little: the estimate is drawn towards nothing by a
prior with a standard deviation of one stroke a round (our choice: coring costs about so much, section 7 of the sources
under ``greens``), and no direction is claimed while its 90% interval holds zero.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from golfstats.calc.figure import NORMAL_QUANTILE
from golfstats.calc.plan.greens import FEET, Greens
from golfstats.calc.record import Floats

PRIOR_SD = 1.0
"""Strokes over 18 holes."""
LEAST_HOLES = 3


@dataclass(frozen=True)
class TodaysGreens:
    """Cost of the greens as the putts so far tell it."""

    holes: int
    """With a first putt of known length."""
    cost: float | None
    """Strokes over 18 holes; None with fewer than three holes."""
    low: float | None
    high: float | None
    """90% interval."""
    words: str


def todays_greens(first_putt_feet: Floats, putts: Floats, usual: Greens) -> TodaysGreens:
    """One entry a hole; ``usual`` is the player's own putting on usual greens."""
    holes = len(putts)
    if holes < LEAST_HOLES:
        return TodaysGreens(
            holes, None, None, None, f"Too few: {LEAST_HOLES} first putts of known length at least."
        )
    outcomes = usual.outcomes
    one, two = (np.interp(first_putt_feet, FEET, chance) for chance in (outcomes.one, outcomes.two))
    expected = usual.putts(first_putt_feet)
    variance = one + 4 * two + 9 * (1 - one - two) - (one + 2 * two + 3 * (1 - one - two)) ** 2
    seen = 18.0 * float(np.mean(putts - expected))
    seen_variance = 18.0**2 * float(np.sum(variance)) / holes**2
    trust = PRIOR_SD**2 / (PRIOR_SD**2 + seen_variance)
    cost, half = trust * seen, NORMAL_QUANTILE * math.sqrt(trust * seen_variance)
    return TodaysGreens(holes, cost, cost - half, cost + half, _words(cost - half, cost + half))


def _words(low: float, high: float) -> str:
    if low > 0:
        return f"They take more putts than usual: about {low:.1f} to {high:.1f} strokes a round."
    if high < 0:
        return f"They take fewer putts than usual: about {-high:.1f} to {-low:.1f} strokes a round."
    return "No difference from usual greens can be told yet."
