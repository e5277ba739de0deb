"""Longer shots: from the cells of one lie in a band of distance every club is tried at every aim ahead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.plan.hole.shape import Maps
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.pattern import Bag, usable_lengths
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


@dataclass(frozen=True, eq=False)
class _Fan:
    """The aims of one length."""

    length: float
    rows: Ints
    """Rows of ``FarShots.cells`` from which they are tried."""
    angle: Floats
    pattern: Ints
    """Of each aim: row in ``FarShots.filters``."""
    up: Ints
    right: Ints
    """Of each aim: cells from the ball."""


class FarShots:
    """Cells of one lie in a band."""

    def __init__(
        self, board: Board, plane: Plane, box: Box, lie: Lie, cells: Ints, tried: WorthTrying
    ) -> None:
        """``cells``: rows and columns in the box, n × 2."""
        self.board, self.plane, self.box, self.cells = board, plane, box, cells
        self.distance = board.shape.distance[box][tuple(cells.T)]
        self.fans: list[_Fan] = []
        filters: list[Waves] = []
        for length, worth in tried.items():
            angle = _aims(length, worth)
            nearest = np.argmin(np.abs(PATTERN_DIRECTIONS[None] - angle[:, None]), axis=1)
            used, pattern = np.unique(nearest, return_inverse=True)
            self.fans.append(self._fan(length, worth, angle, len(filters) + pattern))
            filters.extend(plane.filters(board.bag.spread(lie, length), PATTERN_DIRECTIONS[used]))
        self.filters = np.stack(filters)
        self._try_somewhere()
        out = plane.waves(out_of_bounds(board.shape)[box], 1.0)
        self.gone = np.clip(plane.expectations(out, self.filters), 0.0, MOST_GONE)
        self.table = self._wide_table()
        self.here = cells[:, 0] * self.table.shape[2] + cells[:, 1]

    def _fan(self, length: float, worth: Worth, angle: Floats, pattern: Ints) -> _Fan:
        step = self.board.shape.step
        rows = np.flatnonzero((self.distance >= worth.nearest) & (self.distance <= worth.farthest))
        up = np.round(length * np.cos(angle) / step).astype(np.int64)
        right = np.round(length * np.sin(angle) / step).astype(np.int64)
        return _Fan(length, rows, angle, pattern, up, right)

    def _try_somewhere(self) -> None:
        """Cells at a distance for which no length is known to be worth trying try all."""
        missing = np.ones(len(self.cells), dtype=np.bool_)
        for fan in self.fans:
            missing[fan.rows] = False
        if missing.any():
            rows = np.flatnonzero(missing)
            self.fans = [replace(fan, rows=np.concatenate([fan.rows, rows])) for fan in self.fans]

    def _wide_table(self) -> Maps:
        """Room for the cost of every pattern at every cell aimed at; infinite beside the box.

        It is so wide that an aim is one number added to the number of a cell, wherever the cell is.
        """
        highest = max(int(fan.up.max()) for fan in self.fans)
        aside = max(int(np.abs(fan.right).max()) for fan in self.fans)
        height = int(self.cells[:, 0].max()) + highest + 2
        return np.full((len(self.filters), height, self.plane.columns + aside), np.inf, dtype=np.float32)

    def sweep(self) -> float:
        """The best aim of every cell as the values are now. The most that a value moved."""
        board = self.board
        self._tell_costs()
        cost = np.full(len(self.cells), np.inf, dtype=np.float32)
        aim = np.zeros((len(self.cells), 2), dtype=np.int64)
        for fan in self.fans:
            offered = self._offered(fan)
            which = np.argmin(offered, axis=1)
            least = offered[np.arange(len(which)), which]
            better = least < cost[fan.rows]
            rows, which = fan.rows[better], which[better]
            cost[rows] = least[better]
            aim[rows] = np.stack([fan.up[which], fan.right[which]], axis=1)
        found = np.isfinite(cost)
        row, column = (self.cells[found] + [part.start for part in self.box]).T
        moved = float(np.abs(cost[found] - board.value[row, column]).max(initial=0.0))
        board.value[row, column] = cost[found]
        board.aim[row, column] = aim[found] + np.stack([row, column], axis=1)
        return moved

    def worth_trying(self, within: float) -> dict[float, Worth]:
        """Where a length was at most so many strokes worse than the best in the last sweep."""
        best = self.board.value[self.box][tuple(self.cells.T)]
        around = 2 * self.board.shape.step
        found = {}
        for fan in self.fans:
            good = self._offered(fan) <= best[fan.rows, None] + within
            if good.any():
                distance, angle = self.distance[fan.rows][good.any(axis=1)], fan.angle[good.any(axis=0)]
                found[fan.length] = Worth(
                    float(distance.min()) - around,
                    float(distance.max()) + around,
                    float(np.abs(angle).max()) + around / fan.length,
                )
        return found

    def _tell_costs(self) -> None:
        """Fill the table as the values are now."""
        waves = self.plane.waves(landed(self.board.shape, self.board.value)[self.box], 0.0)
        rows = min(self.plane.rows, self.table.shape[1])
        kept = self.plane.expectations(waves, self.filters)
        self.table[:, :rows, : self.plane.columns] = shot_cost(kept[:, :rows], self.gone[:, :rows])

    def _offered(self, fan: _Fan) -> Maps:
        """Cost of every aim from every cell."""
        _, height, width = self.table.shape
        offset = (fan.pattern * height + fan.up) * width + fan.right
        offered: Maps = self.table.ravel().take(self.here[fan.rows, None] + offset)
        return offered


def _aims(length: float, worth: Worth) -> Floats:
    """Directions, radians clockwise from straight ahead."""
    step = AIM_STEP / length
    count = int(np.ceil(WIDEST_AIM / step))
    angle = step * np.arange(-count, count + 1)
    return np.asarray(angle[np.abs(angle) <= worth.widest])
