"""A stroke index suggested from how hard each hole is, by the method of Appendix E of the Rules of Handicapping.

Eighteen holes fall into six triads. Holes are ranked by their difficulty relative to par; odd numbers go to the front
nine and even ones to the back (the other way round if the back nine is clearly harder); 1 or 2 lies in the middle
triad of each nine, 3 or 4 in its first or last triad; no two neighbouring holes have 6 or less. Within these rules
the hardest holes get the lowest numbers as far as they can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from golfstats.calc.record import Bools, Floats

CLEARLY_HARDER = 0.5
"""Strokes over nine holes by which the back must be harder to take the odd numbers (our choice)."""
LOW = 6


@dataclass(frozen=True)
class StrokeIndexes:
    """Suggested stroke index by hole, and how each hole ranks by difficulty alone."""

    index: tuple[int, ...]
    rank: tuple[int, ...]
    """1 is the hardest relative to par."""
    odd_on_front: bool
    compromises: tuple[str, ...]
    """Where the method's spread moved a hole far from its rank."""


def suggest_stroke_index(over_par: Sequence[float]) -> StrokeIndexes:
    """The suggestion for eighteen holes given the strokes over par that the usual player needs on each."""
    harder = np.asarray(over_par, dtype=np.float64)
    if harder.shape != (18,) or not np.isfinite(harder).all():
        raise ValueError("a stroke index needs the difficulty of all 18 holes")
    front_odd = float(harder[9:].sum() - harder[:9].sum()) <= CLEARLY_HARDER
    best: tuple[float, list[int]] | None = None
    hardest = np.array(_ranks(harder)) <= LOW
    for front_low in _low_holes(hardest[:9]):
        for back_low in _low_holes(hardest[9:]):
            if _together(front_low, back_low):
                continue
            index = [0] * 18
            _fill(index, harder[:9], front_low, 0, 1 if front_odd else 2)
            _fill(index, harder[9:], back_low, 9, 2 if front_odd else 1)
            cost = _distance_from_rank(index, harder)
            if best is None or cost < best[0]:
                best = cost, index
    if best is None:
        raise ValueError("no stroke index meets the method on these holes")
    rank = _ranks(harder)
    moved = tuple(
        f"hole {hole + 1} ranks {rank[hole]} and gets {index}"
        for hole, index in enumerate(best[1])
        if abs(rank[hole] - index) >= LOW
    )
    return StrokeIndexes(tuple(best[1]), rank, front_odd, moved)


def _low_holes(hardest: Bools) -> Iterator[tuple[int, int, int]]:
    """Holes of a nine (0-8) that may take its three lowest numbers, in order.

    The lowest lies in the middle triad, or else next to it where no hole of that triad is among the six hardest of
    the course; the second in the first or last triad; no two of them are neighbours.
    """
    middle = [3, 4, 5] if hardest[3:6].any() else [2, 3, 4, 5, 6]
    outer = [0, 1, 2, 6, 7, 8]
    for first, second, third in permutations(range(9), 3):
        if first not in middle or second not in outer:
            continue
        if abs(first - second) == 1 or abs(first - third) == 1 or abs(second - third) == 1:
            continue
        yield first, second, third


def _together(front: tuple[int, ...], back: tuple[int, ...]) -> bool:
    """Whether holes 9 and 10 would both have 6 or less."""
    return 8 in front and 0 in back


def _fill(index: list[int], nine: Floats, low: tuple[int, ...], start: int, number: int) -> None:
    """Give a nine every second number from ``number``: the low ones first, then by difficulty."""
    rest = [hole for hole in np.argsort(-nine, kind="stable").tolist() if hole not in low]
    for place, hole in enumerate([*low, *rest]):
        index[start + hole] = number + 2 * place


def _distance_from_rank(index: list[int], harder: Floats) -> float:
    """How far the numbers are from the ranks; the low numbers matter most, since most matches use those."""
    rank = np.array(_ranks(harder))
    given = np.array(index)
    return float(np.sum((rank - given) ** 2 / np.minimum(rank, given)))


def _ranks(harder: Floats) -> tuple[int, ...]:
    order = np.argsort(-harder, kind="stable")
    rank = np.empty(18, dtype=np.int64)
    rank[order] = np.arange(1, 19)
    return tuple(int(r) for r in rank)
