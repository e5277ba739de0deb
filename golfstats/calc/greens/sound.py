"""Golf as it would have been on undisturbed greens: what trends, goals and priorities compare.

What the surface cost a round is given back to its first putts, the more to those distances that suffer more. Raw
strokes gained are never replaced: whatever uses these says so, and shows the raw figure beside.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np

from golfstats.calc.a_round import ROUND, a_round
from golfstats.calc.figure import NORMAL_QUANTILE
from golfstats.calc.greens.effect.posterior import MINIMUM_DISTURBANCE, relative_cost
from golfstats.calc.record import Bools, Floats, Ints, Record
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

OWN_SPREAD = 0.4
"""How much more or less than the usual member one player loses on disturbed greens: a standard deviation, as a share
of what the member loses (our judgement; the fit lets players differ as much)."""


@dataclass(frozen=True)
class Greens:
    """The greens that rounds met. Columns by round; strokes a round of 18 holes."""

    disturbed: Bools
    """Noticeably so, or temporary."""
    owed: Floats
    """What the surface cost; 0 on undisturbed greens."""
    sd: Floats
    """Doubt about it, which the rounds share: all are wrong by as many standard deviations."""
    known: Bools
    """Whether the cost is known well enough to take it off. Other rounds wait."""

    @classmethod
    def of(
        cls,
        disturbance: Floats,
        surface: Floats,
        surface_low: Floats,
        surface_high: Floats,
        holes_putted: Ints,
    ) -> Self:
        """From what is stored of each round, in strokes gained (a cost is negative), and its holes.

        A disturbance of NaN stands for temporary greens. ``surface`` is NaN on disturbed greens of which too little
        is known; greens that have healed by all that is usual may still owe a little where enough is known to tell.
        The doubt of all rounds is taken to be one, which is nearly so after work of one kind.
        """
        sd = np.nan_to_num(surface_high - surface_low) / (2 * NORMAL_QUANTILE)
        owed = np.nan_to_num(a_round(0.0 - np.nan_to_num(surface), holes_putted))
        effect_sd = np.nan_to_num(a_round(sd, holes_putted))
        temporary = np.isnan(disturbance)
        disturbed: Bools = temporary | (disturbance >= MINIMUM_DISTURBANCE)
        known = ~temporary & (np.isfinite(surface) | ~disturbed)
        return cls(disturbed, owed, np.hypot(effect_sd, OWN_SPREAD * owed), known)


def holes_putted(record: Record, strokes_gained: Floats) -> Ints:
    """On how many holes of each round the strokes gained of a putt are known."""
    rows = _first_putts(record, strokes_gained)
    return np.bincount(record.shots.round[rows], minlength=len(record.rounds)).astype(np.int64)


def spread_over_putts(record: Record, strokes_gained: Floats, a_round_of_18: Floats) -> Floats:
    """A cost of each round, given a round of 18 holes, as a part of each shot: nothing but of first putts."""
    rows = _first_putts(record, strokes_gained)
    of = record.shots.round[rows]
    weight = relative_cost(FEET_PER_YARD * record.shots.distance[rows])
    rounds = len(record.rounds)
    holes = np.bincount(of, minlength=rounds)
    total = np.bincount(of, weights=weight, minlength=rounds)
    by_shot = np.zeros(len(record.shots))
    by_shot[rows] = (a_round_of_18 * holes / ROUND / np.where(total > 0, total, 1.0))[of] * weight
    return by_shot


def _first_putts(record: Record, strokes_gained: Floats) -> Ints:
    """Rows of the first putt on each hole of which the strokes gained are known; shots are in order of play."""
    putts = np.flatnonzero((record.shots.lie == Lie.GREEN) & np.isfinite(strokes_gained))
    _, first = np.unique(record.shots.hole[putts], return_index=True)
    rows: Ints = putts[first]
    return rows
