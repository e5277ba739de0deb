"""Shots from the surroundings of the hole: from each cell every aim near the hole is tried."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

import numpy as np

from golfstats.calc.plan.hole.shape import Maps
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.pattern import MISHIT_ALONG, MISHIT_LENGTH, Spread
from golfstats.calc.plan.solve.board import MOST_GONE, Board, landed, out_of_bounds, shot_cost
from golfstats.calc.record import Ints
from golfstats.calc.vocabulary import Lie

SHORTEST = 1.5
"""Yards: the length whose pattern serves all shorter shots."""
LENGTH_RATIO = 1.3
"""Between patterns of short shots at lengths in this ratio the cost is interpolated. Rounding would not do: the best
aim would always be one whose spread was rounded down."""
DIRECTIONS = 24
"""Directions of short shots' patterns, round the circle."""
TAILS = 5.0
"""Usual spreads beyond which a shot may be taken to the other side of its window (two in a thousand)."""


PAD_RATIO = 1.5
"""Between the margins of windows: patterns of about the same reach share a window, and are transformed at once."""


class _Window(NamedTuple):
    """The part of the grid that shots of some lengths at the aims can reach, with their patterns."""

    plane: Plane
    top: int
    left: int
    """Row and column of the grid in the window's first cell; they may lie before the grid."""
    circles: Sequence[Waves]
    """By length: the pattern in every direction."""


@lru_cache(maxsize=256)
def _circle(plane: Plane, spread: Spread) -> Waves:
    """The pattern in every direction. Kept, because holes and pins of a round share patterns and windows."""
    return plane.filters(spread, 2 * np.pi * np.arange(DIRECTIONS) / DIRECTIONS)


class NearShots:
    """Cells of one lie near the hole."""

    def __init__(self, board: Board, lie: Lie, cells: Ints, aims: Ints) -> None:
        """``cells`` and ``aims``: rows and columns of the grid, n × 2."""
        self.board, self.cells, self.aims = board, cells, aims
        way = (aims[None] - cells[:, None]) * board.shape.step
        length = np.hypot(way[..., 0], way[..., 1])
        count = int(np.ceil(np.log(max(length.max(), 2.2) / SHORTEST) / np.log(LENGTH_RATIO))) + 1
        place = np.log(np.maximum(length, SHORTEST) / SHORTEST) / np.log(LENGTH_RATIO)
        number = np.minimum(place.astype(np.int64), count - 2)
        self.share = (place - number).astype(np.float32)
        turn = np.round(np.arctan2(way[..., 1], way[..., 0]) / (2 * np.pi) * DIRECTIONS).astype(np.int64)
        pattern = number * DIRECTIONS + turn % DIRECTIONS
        self.shorter = pattern * len(aims) + np.arange(len(aims))
        # Out of reach of every aim, the nearest must do: a cell in the corner of a wide drawing.
        self.blocked = (length > board.bag.reach(lie)) & (length > length.min(axis=1, keepdims=True))
        spreads = [board.bag.spread(lie, SHORTEST * LENGTH_RATIO**power) for power in range(count)]
        # Reach grows with length, so that the windows in order are the lengths in order.
        shared = groupby(spreads, key=self._margin)
        self.windows = [self._window(margin, list(alike)) for margin, alike in shared]
        self.gone = np.clip(self._at_aims(out_of_bounds(board.shape), 1.0), 0.0, MOST_GONE)

    def sweep(self) -> float:
        """The best aim of every cell as the values are now. The most that a value moved."""
        board = self.board
        table = shot_cost(self._at_aims(landed(board.shape, board.value), 0.0), self.gone).ravel()
        cost = table.take(self.shorter)
        cost += self.share * (table[DIRECTIONS * len(self.aims) :].take(self.shorter) - cost)
        np.copyto(cost, np.inf, where=self.blocked)
        best = np.argmin(cost, axis=1)
        row, column = self.cells.T
        values, putted = cost[np.arange(len(best)), best], board.putter_value[row, column]
        board.putter[row, column] = putted < values
        values = np.minimum(values, putted)
        moved = float(np.abs(values - board.value[row, column]).max())
        board.value[row, column] = values
        board.aim[row, column] = self.aims[best]
        return moved

    def _margin(self, spread: Spread) -> int:
        """Cells round the aims that a pattern reaches, rounded up to one of few sizes."""
        mishit = (1 - MISHIT_LENGTH + 2.5 * MISHIT_ALONG) * spread.length
        cells = max(TAILS * spread.along, TAILS * spread.across, mishit) / self.board.shape.step
        return int(np.ceil(PAD_RATIO ** np.ceil(np.log(cells) / np.log(PAD_RATIO))))

    def _window(self, margin: int, spreads: Sequence[Spread]) -> _Window:
        low, high = self.aims.min(axis=0) - margin, self.aims.max(axis=0) + margin + 1
        plane = Plane(int(high[0] - low[0]), int(high[1] - low[1]), self.board.shape.step, 0.0)
        return _Window(plane, int(low[0]), int(low[1]), [_circle(plane, spread) for spread in spreads])

    def _at_aims(self, values: Maps, beyond: float) -> Maps:
        """Expectation of a map over each pattern at each aim: (lengths × directions) × aims."""
        expectations = []
        for plane, top, left, circles in self.windows:
            part = np.full((plane.rows, plane.columns), beyond, dtype=np.float32)
            rows, columns = values.shape
            bottom, right = min(top + plane.rows, rows), min(left + plane.columns, columns)
            part[max(-top, 0) : bottom - top, max(-left, 0) : right - left] = values[
                max(top, 0) : bottom, max(left, 0) : right
            ]
            waves, aims = plane.waves(part, beyond), self.aims - (top, left)
            first, end = int(aims[:, 0].min()), int(aims[:, 0].max()) + 1
            for circle in circles:
                expected = plane.expectations(waves, circle, first, end)
                expectations.append(expected[:, aims[:, 0] - first, aims[:, 1]])
        return np.concatenate(expectations)
