"""What "a round" means wherever a figure is given a round: eighteen holes.

Nine holes weigh half as much as eighteen and a round of which twelve holes are known two thirds, whatever is averaged.
"""

from __future__ import annotations

import numpy as np

from golfstats.calc.figure import Figure, clustered_mean_figure
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit

ROUND = 18
"""Holes."""


def a_round(total: Floats | float, holes: Ints | Floats | float) -> Floats:
    """What a total over so many holes comes to over eighteen; NaN without a hole."""
    known = np.asarray(holes, dtype=np.float64)
    return np.asarray(ROUND * np.asarray(total) / np.where(known > 0, known, np.nan), dtype=np.float64)


def rounds_of_18(holes: Ints | Floats) -> float:
    """How many rounds so many holes come to together."""
    return float(np.sum(holes)) / ROUND


def figure_a_round(totals: Floats, holes: Ints, unit: Unit, minimum_holes: int = ROUND) -> Figure:
    """Mean a round from each round's total and the number of holes that it covers; ``n`` counts holes.

    The same figure as from the holes one by one: mean and variance over rounds know a round's holes only
    by their sum and number.
    """
    each_hole = np.repeat(a_round(totals, holes), holes)
    round = np.repeat(np.arange(len(holes)), holes)
    return clustered_mean_figure(each_hole, round, unit, minimum_holes, apart=ROUND)
