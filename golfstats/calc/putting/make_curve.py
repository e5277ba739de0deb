"""Make curve: the share of putts holed by distance, beside what other golfers would have holed of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from golfstats.calc.figure import Figure, clustered_share_figure
from golfstats.calc.record import Floats, Ints, Record
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

MAKE_EDGES_FT = (0.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, np.inf)
"""Edges of the distance bins (our choice)."""


@dataclass(frozen=True)
class MakeBin:
    """Putts from a range of distances: the share holed beside what two golfers would have holed of them."""

    low_ft: float
    high_ft: float
    made: Figure
    benchmark: float | None
    """Mean chance of the benchmark golfer over these very putts; None without putts."""
    own_model: float | None
    """The same for a golfer with the player's own two spreads."""
    shots: Ints
    """Rows of the putts in the record's shots."""


def make_curve(
    record: Record,
    benchmark_make: Callable[[Floats], Floats],
    own_make: Callable[[Floats], Floats],
    edges_ft: Sequence[float] = MAKE_EDGES_FT,
) -> list[MakeBin]:
    """Share of putts holed by distance; both functions give the chance to hole from distances in feet.

    A bin holds distances from its lower edge to under its upper one.
    """
    shots = record.shots
    feet = shots.distance * FEET_PER_YARD
    bins = []
    for low, high in pairwise(edges_ft):
        rows = np.flatnonzero((shots.lie == Lie.GREEN) & (feet > 0) & (feet >= low) & (feet < high))
        bins.append(
            MakeBin(
                low_ft=low,
                high_ft=high,
                made=clustered_share_figure(shots.holed[rows].astype(np.float64), shots.round[rows]),
                benchmark=float(np.mean(benchmark_make(feet[rows]))) if len(rows) else None,
                own_model=float(np.mean(own_make(feet[rows]))) if len(rows) else None,
                shots=rows,
            )
        )
    return bins
