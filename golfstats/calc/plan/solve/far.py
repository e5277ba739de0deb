"""Longer shots: from the cells of one lie in a band of distance every club is tried at every aim ahead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.plan.hole.shape import Maps
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.pattern import Bag, Spread, usable_lengths
from golfstats.calc.plan.solve.board import MOST_GONE, Board, landed, out_of_bounds, shot_cost
from golfstats.calc.record import Floats, Ints
from golfstats.calc.vocabulary import Lie

WIDEST_AIM = np.radians(45.0)
PATTERN_DIRECTIONS = np.radians([-36.0, -18.0, 0.0, 18.0, 36.0])
"""Directions for which the patterns of longer shots are turned; aims between use the nearest."""
AIM_STEP = 4.0
"""Yards between neighbouring aims of one club."""
LONG_BY = 25.0
"""Yards past the hole that a longer shot may be meant to go."""

Box = tuple[slice, slice]
"""Rows and columns of a part of the grid."""


@dataclass(frozen=True)
class Worth:
    """Where one length is worth trying."""

    nearest: float
    farthest: float
    """Yards from the hole."""
    widest: float
    """Radians to either side of straight ahead. The same to both: double cells may miss what lies on one side."""


EVERYWHERE = Worth(0.0, np.inf, np.inf)
WorthTrying = Mapping[float, Worth]
"""By length; a length that is missing is not worth trying."""


def lengths_for(bag: Bag, lie: Lie, low: float, high: float) -> WorthTrying:
    """What may be the best from somewhere in a band of distance."""
    lengths = usable_lengths(bag, lie)
    reach = lengths[-1]
    # From far away a short shot is never best; from near by one beyond the hole is not.
    least = 0.45 * reach if low > 1.3 * reach else 0.3 * min(low, reach)
    return {float(length): EVERYWHERE for length in lengths if least <= length <= high + LONG_BY}


@dataclass(eq=False)
class _Fan:
    """The aims of one length from some of the cells."""

    plane: Plane
    length: float
    spread: Spread
    cells: Ints
    """Rows of ``FarShots.cells`` from which they are tried."""
    where: Ints
    """Rows and columns of these in the box, n × 2."""
    angle: Floats

    def __post_init__(self) -> None:
        plane, step = self.plane, self.plane.step
        up = np.round(self.length * np.cos(self.angle) / step).astype(np.int64)
        right = np.round(self.length * np.sin(self.angle) / step).astype(np.int64)
        self.aims = np.stack([up, right], axis=1)
        nearest = np.argmin(np.abs(PATTERN_DIRECTIONS[None] - self.angle[:, None]), axis=1)
        used, pattern = np.unique(nearest, return_inverse=True)
        self.filters = plane.filters(self.spread, PATTERN_DIRECTIONS[used])
        # The cost of every pattern at every cell aimed at; infinite beside the box. The table is so wide, and begins a
        # row early, that an aim is one number added to the number of a cell, wherever the cell is.
        # On a short hole every aim of a long club may lie beyond the box: then no row of it is kept.
        self.first = min(int(self.where[:, 0].min() + up.min()), plane.rows)
        end = int(self.where[:, 0].max() + up.max()) + 1
        self.end = min(end, plane.rows)
        height, width = end - self.first + 1, plane.columns + int(np.abs(right).max())
        self.table = np.full((len(used), height, width), np.inf, dtype=np.float32)
        self.here = (self.where[:, 0] + 1 - self.first) * width + self.where[:, 1]
        self.offset = (pattern * height + up) * width + right

    def set_out(self, waves: Waves) -> None:
        """``waves``: of the map of what is out of bounds."""
        self.gone = np.clip(self._expectations(waves), 0.0, MOST_GONE)

    def tell_costs(self, waves: Waves) -> None:
        """Fill the table; ``waves``: of what a shot that finishes in each cell costs from there."""
        kept = self._expectations(waves)
        self.table[:, 1 : kept.shape[1] + 1, : kept.shape[2]] = shot_cost(kept, self.gone)

    def offered(self) -> Maps:
        """Cost of every aim from every cell."""
        return self.table.ravel().take(self.here[:, None] + self.offset)

    def _expectations(self, waves: Waves) -> Maps:
        return self.plane.expectations(waves, self.filters, self.first, self.end)


class FarShots:
    """Cells of one lie in a band."""

    def __init__(
        self, board: Board, plane: Plane, box: Box, lie: Lie, cells: Ints, tried: WorthTrying
    ) -> None:
        """``cells``: rows and columns in the box, n × 2."""
        self.board, self.plane, self.box, self.cells = board, plane, box, cells
        self.distance = board.shape.distance[box][tuple(cells.T)]
        out = plane.waves(out_of_bounds(board.shape)[box], 1.0)
        self.fans = []
        for length, rows in self._tried_from(tried).items():
            spread, angle = board.bag.spread(lie, length), _aims(length, tried[length])
            fan = _Fan(plane, length, spread, rows, cells[rows], angle)
            fan.set_out(out)
            self.fans.append(fan)

    def _tried_from(self, tried: WorthTrying) -> dict[float, Ints]:
        """Rows of the cells from which each length is tried.

        Cells at a distance for which no length is known to be worth trying try all.
        """
        worth = {
            length: (self.distance >= worth.nearest) & (self.distance <= worth.farthest)
            for length, worth in tried.items()
        }
        missing = ~np.any(list(worth.values()), axis=0)
        rows = {length: np.flatnonzero(here | missing) for length, here in worth.items()}
        return {length: some for length, some in rows.items() if len(some)}

    def sweep(self) -> float:
        """The best aim of every cell as the values are now. The most that a value moved."""
        board = self.board
        waves = self.plane.waves(landed(board.shape, board.value)[self.box], 0.0)
        cost = np.full(len(self.cells), np.inf, dtype=np.float32)
        aim = np.zeros((len(self.cells), 2), dtype=np.int64)
        for fan in self.fans:
            fan.tell_costs(waves)
            offered = fan.offered()
            which = np.argmin(offered, axis=1)
            least = offered[np.arange(len(which)), which]
            better = least < cost[fan.cells]
            rows = fan.cells[better]
            cost[rows] = least[better]
            aim[rows] = fan.aims[which[better]]
        reached = np.isfinite(cost)
        row, column = (self.cells[reached] + [part.start for part in self.box]).T
        moved = float(np.abs(cost[reached] - board.value[row, column]).max(initial=0.0))
        board.value[row, column] = cost[reached]
        board.aim[row, column] = aim[reached] + np.stack([row, column], axis=1)
        return moved

    def worth_trying(self, within: float) -> dict[float, Worth]:
        """Where a length was at most so many strokes worse than the best in the last sweep."""
        best = self.board.value[self.box][tuple(self.cells.T)]
        around = 2 * self.board.shape.step
        by_length = {}
        for fan in self.fans:
            good = fan.offered() <= best[fan.cells, None] + within
            if good.any():
                distance, angle = self.distance[fan.cells][good.any(axis=1)], fan.angle[good.any(axis=0)]
                by_length[fan.length] = Worth(
                    float(distance.min()) - around,
                    float(distance.max()) + around,
                    float(np.abs(angle).max()) + around / fan.length,
                )
        return by_length


def _aims(length: float, worth: Worth) -> Floats:
    """Directions, radians clockwise from straight ahead."""
    step = AIM_STEP / length
    count = int(np.ceil(WIDEST_AIM / step))
    angle = step * np.arange(-count, count + 1)
    return np.asarray(angle[np.abs(angle) <= worth.widest])
