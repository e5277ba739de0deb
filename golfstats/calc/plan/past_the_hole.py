"""How far past the hole a putt should die: the overrun with the fewest expected putts on greens like these.

A ball that would roll farther past the hole meets it faster, so that less of its width takes the ball
(:func:`~golfstats.calc.plan.greens.hole_width`); one that is weaker may not reach it. The make model knows one
width, at a foot past on a green of 10 feet; here it is scaled by the speed. Hoadley's rule (Science and Golf II, 1994)
says two feet times the chance of holing; the tests say how near this comes to it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.plan.greens import USUAL_SPEED_FT, Greens, hole_width
from golfstats.calc.putting.make_model import BALL_RADIUS_FT, HOLE_RADIUS_FT

OVERRUNS_FT = np.arange(0.0, 5.01, 0.1)
PACES = special.ndtri((np.arange(161) + 0.5) / 161)
LINES = special.ndtri((np.arange(41) + 0.5) / 41)
"""Errors of pace and of line in spreads, one of each share of the putts."""
HOADLEY_FT = 2.0


@dataclass(frozen=True)
class Overrun:
    """Where to let a putt die."""

    feet: float
    """Length of the putt."""
    past_ft: float
    """The best overrun."""
    holed: float
    """Chance to hole it with that overrun."""
    putts: float
    """Expected putts with the best overrun."""
    putts_at_one_foot: float
    """Expected putts with the usual overrun of one foot."""
    by_rule_ft: float
    """Hoadley's rule at this chance of holing, feet."""
    putts_by_rule: float
    """Expected putts with the overrun of the rule."""


def best_overrun(greens: Greens, feet: float) -> Overrun:
    """The overrun with the fewest expected putts from this distance."""
    by_overrun = [_with_overrun(greens, feet, float(over)) for over in OVERRUNS_FT]
    putts = np.array([expected for expected, _ in by_overrun])
    best = int(np.argmin(putts))
    holed = by_overrun[best][1]
    by_rule = HOADLEY_FT * holed
    return Overrun(
        feet=feet,
        past_ft=float(OVERRUNS_FT[best]),
        holed=holed,
        putts=float(putts[best]),
        putts_at_one_foot=_with_overrun(greens, feet, 1.0)[0],
        by_rule_ft=by_rule,
        putts_by_rule=_with_overrun(greens, feet, by_rule)[0],
    )


def _with_overrun(greens: Greens, feet: float, over: float) -> tuple[float, float]:
    """Expected putts and the chance to hole the first when it is meant to die ``over`` feet past."""
    # The spreads of these greens hold their speed already; here the width itself follows the speed.
    level_direction, pace_sd = greens.spreads
    slower = hole_width(1.0, USUAL_SPEED_FT) / hole_width(1.0, greens.speed_ft)
    direction = level_direction / slower
    past = (feet + over) * (1 + pace_sd * PACES) - feet
    reach = (HOLE_RADIUS_FT - BALL_RADIUS_FT) / hole_width(1.0, USUAL_SPEED_FT)
    width = np.array([reach * hole_width(float(q), greens.speed_ft) if q > 0 else 0.0 for q in past])
    limit = np.arcsin(np.minimum(width / feet, 1.0))
    angle = direction * LINES[:, None]
    holed_share = 2 * special.ndtr(limit / direction) - 1
    roll = feet + past[None, :]
    left = np.hypot(roll * np.sin(angle), roll * np.cos(angle) - feet)
    missed = np.abs(angle) >= limit[None, :]
    after = np.where(missed, greens.putts(left), 0.0)
    count = np.maximum(missed.sum(axis=0), 1)
    mean_after = after.sum(axis=0) / count
    expected = 1.0 + float(np.mean((1 - holed_share) * mean_after))
    return expected, float(np.mean(holed_share))
