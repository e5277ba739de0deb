"""The grid of a hole: the surface of every cell, so that one cell's middle is the hole itself.

Cells are squares of ``step`` yards, rows along the hole and columns to the right. Beyond the grid is out of bounds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from golfstats.calc.plan.hole.drawing import LIE_OF_SURFACE, Drawing, Surface, inside
from golfstats.calc.record import Bools, Codes, Floats, Ints

Maps = NDArray[np.float32]

STEP = 2.0
"""Yards; a grid of 1 yard moves the value of a hole by less than 0.02 (tested)."""
DROP_CANDIDATES = 200
"""Dry cells looked at for the drop beside a penalty area, before it is taken back on the line."""
SAME_SIDE = 0.7
"""Cosine of the angle at the hole between ball and drop."""


@dataclass(frozen=True, eq=False)
class Shape:
    """A hole on a grid for one hole location."""

    surface: Codes
    """:class:`Surface` of each cell, rows × columns."""
    step: float
    left: float
    """x of the middle of the first column."""
    near: float
    """y of the middle of the first row."""
    tee: tuple[float, float]
    pin: tuple[float, float]
    falls_to: tuple[float, float]
    generic: bool

    @cached_property
    def x(self) -> Floats:
        """X of the middle of every column."""
        return np.asarray(self.left + self.step * np.arange(self.surface.shape[1]), dtype=np.float64)

    @cached_property
    def y(self) -> Floats:
        """Y of the middle of every row."""
        return np.asarray(self.near + self.step * np.arange(self.surface.shape[0]), dtype=np.float64)

    @cached_property
    def distance(self) -> Floats:
        """Yards from the middle of every cell to the hole."""
        away: Floats = np.hypot(self.x[None, :] - self.pin[0], self.y[:, None] - self.pin[1])
        return away

    @cached_property
    def lie(self) -> Codes:
        """Lie of a ball in every cell."""
        return np.asarray(LIE_OF_SURFACE[self.surface], dtype=np.int8)

    @cached_property
    def drop(self) -> Ints:
        """Flat number of the cell from which a ball in every cell is played on.

        The cell itself, or for a penalty area the nearest dry one that is no nearer the hole and on the same side of
        it: a simplification of Rule 17, since where the ball crossed the edge is not known.
        """
        cells = np.arange(self.surface.size).reshape(self.surface.shape)
        wet = np.argwhere(self.surface == Surface.WATER)
        playable = (self.surface != Surface.WATER) & (self.surface != Surface.OUT)
        dry = np.argwhere(playable)
        if not len(wet) or not len(dry):
            return cells
        _, near = cKDTree(dry).query(wet, k=min(DROP_CANDIDATES, len(dry)))
        near = near.reshape(len(wet), -1)
        hole = self._pin_cell
        from_hole, drop_from_hole = (wet - hole)[:, None, :], dry[near] - hole
        far, drop_far = (
            np.hypot(*np.moveaxis(from_hole, -1, 0)),
            np.hypot(*np.moveaxis(drop_from_hole, -1, 0)),
        )
        same_side = np.sum(from_hole * drop_from_hole, axis=-1) >= SAME_SIDE * far * drop_far
        allowed = (drop_far >= far) & same_side
        chosen = dry[near[np.arange(len(wet)), np.argmax(allowed, axis=1)]]
        none_near = ~allowed.any(axis=1)
        chosen[none_near] = self._back_on_the_line(wet[none_near], hole, playable)
        cells[wet[:, 0], wet[:, 1]] = chosen[:, 0] * self.surface.shape[1] + chosen[:, 1]
        return cells

    def _back_on_the_line(self, wet: Ints, hole: Ints, playable: Bools) -> Ints:
        """The first dry cell straight back from the hole; the nearest one to the tee where there is none."""
        rows, columns = self.surface.shape
        way = (wet - hole) / np.maximum(np.hypot(*(wet - hole).T), 1.0)[:, None]
        dry = np.argwhere(playable)
        tee = [self.row(np.array(self.tee[1])), self.column(np.array(self.tee[0]))]
        dropped = np.tile(dry[np.argmin(np.hypot(*(dry - tee).T))], (len(wet), 1))
        open_ = np.ones(len(wet), dtype=np.bool_)
        for back in range(1, rows + columns):
            at = np.round(wet + back * way).astype(np.int64)
            on = (at >= 0).all(axis=1) & (at[:, 0] < rows) & (at[:, 1] < columns)
            lands = on & playable[np.clip(at[:, 0], 0, rows - 1), np.clip(at[:, 1], 0, columns - 1)] & open_
            dropped[lands] = at[lands]
            open_ &= on & ~lands
            if not open_.any():
                break
        return dropped

    def coarser(self) -> Shape:
        """The same hole on every second cell each way, that of the hole among them."""
        row, column = self._pin_cell % 2
        left, near = self.left + column * self.step, self.near + row * self.step
        return replace(
            self,
            surface=self.surface[row::2, column::2],
            step=2 * self.step,
            left=float(left),
            near=float(near),
        )

    def coarser_cells(self) -> tuple[Ints, Ints]:
        """Rows and columns of the coarser grid nearest to every cell, to index a map of its with."""
        first = self._pin_cell % 2
        last = np.ceil((np.array(self.surface.shape) - first) / 2).astype(np.int64) - 1
        row, column = (
            np.clip((np.arange(size) - start) // 2, 0, end)
            for size, start, end in zip(self.surface.shape, first, last, strict=True)
        )
        return row[:, None], column[None, :]

    @property
    def _pin_cell(self) -> Ints:
        return np.array([self.row(np.array(self.pin[1])), self.column(np.array(self.pin[0]))])

    def row(self, y: Floats) -> Ints:
        """Row of each y, also beyond the grid."""
        return np.floor((np.asarray(y) - self.near) / self.step + 0.5).astype(np.int64)

    def column(self, x: Floats) -> Ints:
        return np.floor((np.asarray(x) - self.left) / self.step + 0.5).astype(np.int64)

    def look_up(self, values: Floats | Maps | Codes, x: Floats, y: Floats, beyond: float) -> Floats:
        """A map's value at each point; ``beyond`` outside the grid."""
        return np.append(values.ravel(), np.asarray(beyond, dtype=values.dtype))[self.numbers(x, y)]

    def numbers(self, x: Floats, y: Floats) -> Ints:
        """Flat number of the cell of each point; one past the last for points beyond the grid."""
        row, column = self.row(y), self.column(x)
        rows, columns = self.surface.shape
        on = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        numbers: Ints = np.where(on, row * columns + column, rows * columns)
        return numbers

    def cells(self, x: Floats, y: Floats) -> tuple[Ints, Ints]:
        """Row and column of the cell of each point, the nearest one for points beyond the grid."""
        rows, columns = self.surface.shape
        return np.clip(self.row(y), 0, rows - 1), np.clip(self.column(x), 0, columns - 1)

    def surface_at(self, x: Floats, y: Floats) -> Ints:
        return self.look_up(self.surface, x, y, float(Surface.OUT)).astype(np.int64)


def shape_of(drawing: Drawing, pin: tuple[float, float], step: float = STEP) -> Shape:
    """The grid of a drawing that faces the green, with the hole cut at ``pin`` (yards)."""
    corners = np.concatenate([*(ring for patch in drawing.patches for ring in patch.rings), drawing.green])
    corners = np.concatenate([corners, [drawing.tee]])
    low, high = corners.min(axis=0) - drawing.margin, corners.max(axis=0) + drawing.margin
    before = np.ceil((np.array(pin) - low) / step).astype(int)
    after = np.ceil((high - np.array(pin)) / step).astype(int)
    x = pin[0] + step * np.arange(-before[0], after[0] + 1)
    y = pin[1] + step * np.arange(-before[1], after[1] + 1)
    surface = np.full((len(y), len(x)), int(drawing.base), dtype=np.int8)
    for patch in drawing.patches:
        surface[_covered(patch.rings, x, y)] = patch.surface
    surface[_covered((drawing.green,), x, y) & (surface != Surface.OUT)] = Surface.GREEN
    return Shape(surface, step, float(x[0]), float(y[0]), drawing.tee, pin, drawing.falls_to, drawing.generic)


def _covered(rings: tuple[Floats, ...], x: Floats, y: Floats) -> Bools:
    return inside(rings, *np.meshgrid(x, y))
