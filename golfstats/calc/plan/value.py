"""The best way to play a hole from everywhere on it: value iteration whose expectations are filters of the value map.

The value of a cell is the least, over clubs and aims, of one stroke plus the expected value of where the ball
finishes. A ball in a penalty area costs a stroke and is dropped; one out of bounds is played again from the same
place, so with chance G of that an aim costs (1 + B + G) / (1 - G), B the expectation over what stays in
bounds.

Cells are settled from the hole outwards, because a good shot ends nearer the hole: first the green by the putting
model, then the surroundings of the hole, where every cell may aim at any spot near the hole, then bands of
distance, where aims lie within 45 degrees of straight ahead. Each is swept until it moves no more; later bands hardly
move earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from golfstats.calc.plan.greens import Greens, value_off_green, value_on_green
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Maps, Shape
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.pattern import Bag, Spread, usable_lengths
from golfstats.calc.record import Bools, Ints
from golfstats.calc.vocabulary import Lie

SURROUNDINGS = 70.0
"""Yards from the hole within which any direction may be the best."""
AIM_WITHIN = 14.0
"""Yards from the hole within which shots from the surroundings are aimed."""
BANDS = (150.0, 260.0, 370.0, 480.0, 600.0, 1000.0)
"""Yards from the hole at which one band of cells ends and the next begins."""
LENGTH_RATIO = 1.3
"""Between patterns of short shots at lengths in this ratio the cost is interpolated. Rounding would not do: the best
aim would always be one whose spread was rounded down."""
DIRECTIONS = 24
"""Directions of short shots' patterns, round the circle."""
WIDEST_AIM = np.radians(45.0)
PATTERN_DIRECTIONS = np.radians([-36.0, -18.0, 0.0, 18.0, 36.0])
"""Directions for which the patterns of longer shots are turned; aims between use the nearest."""
AIM_STEP = 4.0
"""Yards between neighbouring aims of one club."""
REACH_OF_PATTERN = 80.0
"""Yards that a pattern may look beyond the edge of the grid."""
LONG_BY = 25.0
"""Yards past the hole that a longer shot may be meant to go."""
SETTLED, MOST_SWEEPS = 0.004, 6
PLAYED_LIES = (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY)
"""A putt from the green and the tee shot are worked out apart."""


@dataclass(frozen=True, eq=False)
class BestPlay:
    """Value and best aim of every cell."""

    shape: Shape
    value: Maps
    """Expected strokes to hole out; for a penalty area with its drop, NaN out of bounds."""
    aim: NDArray[np.int16]
    """Row and column of the cell aimed at, rows × columns × 2; without meaning on the green and before a drop."""
    putter: Bools
    """Cells off the green from which the putter is best."""

    def landed(self) -> tuple[Maps, Maps]:
        """What a shot that finishes in each cell costs from there (0 out of bounds), and where it is out of bounds."""
        return _landed(self.shape, self.value)


Box = tuple[slice, slice]
"""Rows and columns of a part of the grid."""


class _Aims(NamedTuple):
    """The best found so far for a box of cells."""

    cost: Maps
    aim: NDArray[np.int16]


def best_play(shape: Shape, bag: Bag, greens: Greens) -> BestPlay:
    """Solve a hole for a player on greens as they are."""
    value = _first_guess(shape)
    on_green = value_on_green(shape, greens)
    green = ~np.isnan(on_green)
    value[green] = on_green[green]
    solver = _Solver(shape, bag, value, value_off_green(shape, greens).astype(np.float32))
    solver.settle_surroundings()
    for low, high in zip((SURROUNDINGS, *BANDS), BANDS, strict=False):
        solver.settle_band(low, high)
    value[shape.surface == Surface.OUT] = np.nan
    return BestPlay(shape, value, solver.aim, solver.putter)


def _first_guess(shape: Shape) -> Maps:
    return (2.6 + shape.distance / 130.0).astype(np.float32)


def _landed(shape: Shape, value: Maps) -> tuple[Maps, Maps]:
    out = shape.surface == Surface.OUT
    wet = shape.surface == Surface.WATER
    cost = value.ravel()[shape.drop].astype(np.float32)
    cost[wet] += 1.0
    cost[out] = 0.0
    return cost, out.astype(np.float32)


class _Solver:
    def __init__(self, shape: Shape, bag: Bag, value: Maps, putter_value: Maps) -> None:
        self.shape, self.bag, self.value, self.putter_value = shape, bag, value, putter_value
        self.aim = np.empty((*value.shape, 2), dtype=np.int16)
        self.aim[:] = shape.row(np.array(shape.pin[1])), shape.column(np.array(shape.pin[0]))
        self.putter = np.zeros(value.shape, dtype=np.bool_)
        ahead = shape.y[:, None] > shape.pin[1] - SURROUNDINGS / 2
        self.around: Bools = (shape.distance <= SURROUNDINGS) | (ahead & (shape.distance < 1e9))

    # -- surroundings of the hole ------------------------------------------------------------------------------

    def settle_surroundings(self) -> None:
        shape = self.shape
        first = int(np.flatnonzero(self.around.any(axis=1))[0])
        box = self._box(first, shape.surface.shape[0])
        plane = Plane(box[0].stop - first, box[1].stop - box[1].start, shape.step, REACH_OF_PATTERN / 2)
        pieces = list(self._short_pieces(plane, box))
        for _ in range(MOST_SWEEPS):
            moved = 0.0
            for piece in pieces:
                moved = max(moved, piece.sweep())
            if moved < SETTLED:
                break

    def _short_pieces(self, plane: Plane, box: Box) -> Iterator[_ShortShots]:
        shape = self.shape
        rows, columns = np.nonzero((shape.distance <= AIM_WITHIN) & (shape.surface != Surface.OUT))
        aims = np.stack([rows, columns], axis=1)
        for lie in PLAYED_LIES:
            cells = np.stack(np.nonzero(self.around & (shape.lie == lie)), axis=1)
            if len(cells):
                yield _ShortShots(self, plane, box, lie, cells, aims)

    # -- bands of distance -------------------------------------------------------------------------------------

    def settle_band(self, low: float, high: float) -> None:
        shape = self.shape
        band = (shape.distance > low) & (shape.distance <= high) & ~self.around
        band &= (shape.surface != Surface.OUT) & (shape.surface != Surface.WATER)
        if not band.any():
            return
        rows = np.flatnonzero(band.any(axis=1))
        last = int(rows[-1]) + 1
        lies = [lie for lie in PLAYED_LIES if np.any(band & (shape.lie == lie))]
        reach = max(float(usable_lengths(self.bag, lie)[-1]) for lie in lies)
        top = last + int(np.ceil((min(reach, high + LONG_BY) + REACH_OF_PATTERN) / shape.step))
        box = self._box(int(rows[0]), min(top, shape.surface.shape[0]))
        plane = Plane(box[0].stop - box[0].start, box[1].stop - box[1].start, shape.step, REACH_OF_PATTERN)
        pieces = [_LongShots(self, plane, box, last, lie, band, low, high) for lie in lies]
        for _ in range(MOST_SWEEPS):
            moved = 0.0
            for piece in pieces:
                moved = max(moved, piece.sweep())
            if moved < SETTLED:
                break

    def _box(self, first: int, top: int) -> Box:
        """The rows from ``first`` to ``top``, with the columns in which any of them is in bounds."""
        inside = np.flatnonzero((self.shape.surface[first:top] != Surface.OUT).any(axis=0))
        return slice(first, top), slice(int(inside[0]), int(inside[-1]) + 1)


class _ShortShots:
    """Cells of one lie near the hole; every aim within reach of the hole is tried from each."""

    def __init__(self, solver: _Solver, plane: Plane, box: Box, lie: Lie, cells: Ints, aims: Ints) -> None:
        self.solver, self.plane, self.box, self.cells, self.aims = solver, plane, box, cells, aims
        step = solver.shape.step
        way = (aims[None] - cells[:, None]) * step
        length = np.hypot(way[..., 0], way[..., 1])
        longest = solver.bag.reach(lie)
        count = int(np.ceil(np.log(max(length.max(), 2.2) / 1.5) / np.log(LENGTH_RATIO))) + 1
        self.lengths = 1.5 * LENGTH_RATIO ** np.arange(count)
        place = np.log(np.maximum(length, 1.5) / 1.5) / np.log(LENGTH_RATIO)
        number = np.minimum(place.astype(np.int64), count - 2)
        self.share = (place - number).astype(np.float32)
        turn = (
            np.round(np.arctan2(way[..., 1], way[..., 0]) / (2 * np.pi) * DIRECTIONS).astype(np.int64)
            % DIRECTIONS
        )
        self.pattern = number * DIRECTIONS + turn
        # Out of reach of every aim, the nearest must do: a cell in the corner of a wide drawing.
        self.blocked = (length > longest) & (length > length.min(axis=1, keepdims=True))
        directions = 2 * np.pi * np.arange(DIRECTIONS) / DIRECTIONS
        spreads = [solver.bag.spread(lie, float(size)) for size in self.lengths]
        self.filters = [plane.filters(spread, directions) for spread in spreads]
        out_waves = plane.waves(_landed(solver.shape, solver.value)[1][box], 1.0)
        self.gone = np.clip(self._at_aims(out_waves), 0.0, 0.95)

    def sweep(self) -> float:
        solver = self.solver
        cost, _ = _landed(solver.shape, solver.value)
        kept = self._at_aims(self.plane.waves(cost[self.box], 0.0))
        table = (1.0 + kept + self.gone) / (1.0 - self.gone)
        aim = np.arange(len(self.aims))[None, :]
        shorter, longer = table[self.pattern, aim], table[self.pattern + DIRECTIONS, aim]
        found = shorter + self.share * (longer - shorter)
        found[self.blocked] = np.inf
        best = np.argmin(found, axis=1)
        row, column = self.cells.T
        values = found[np.arange(len(best)), best]
        putted = solver.putter_value[row, column]
        solver.putter[row, column] = putted < values
        values = np.minimum(values, putted)
        moved = float(np.abs(values - solver.value[row, column]).max())
        solver.value[row, column] = values
        solver.aim[row, column] = self.aims[best]
        return moved

    def _at_aims(self, waves: Waves) -> Maps:
        """Expectation of a map over each pattern at each aim: (lengths × directions) × aims."""
        rows, columns = self.aims[:, 0] - self.box[0].start, self.aims[:, 1] - self.box[1].start
        return np.concatenate(
            [self.plane.expectations(waves, filters)[:, rows, columns] for filters in self.filters]
        )


class _LongShots:
    """Cells of one lie in a band of distance; every club and every aim ahead is tried from each."""

    def __init__(
        self,
        solver: _Solver,
        plane: Plane,
        box: Box,
        last: int,
        lie: Lie,
        band: Bools,
        low: float,
        high: float,
    ) -> None:
        self.solver, self.plane, self.box = solver, plane, box
        self.height = last - box[0].start
        shape = solver.shape
        self.cells = (band & (shape.lie == lie))[box][: self.height]
        lengths = usable_lengths(solver.bag, lie)
        reach = lengths[-1]
        # From far away a short shot is never best; from near by one beyond the hole is not.
        least = 0.45 * reach if low > 1.3 * reach else 0.3 * min(low, reach)
        wanted = (lengths >= least) & (lengths <= high + LONG_BY)
        self.spreads = [solver.bag.spread(lie, float(length)) for length in lengths[wanted]]
        self.filters = [plane.filters(spread, PATTERN_DIRECTIONS) for spread in self.spreads]
        out_waves = plane.waves(_landed(shape, solver.value)[1][box], 1.0)
        self.gone = [
            np.clip(plane.expectations(out_waves, filters), 0.0, 0.95).astype(np.float16)
            for filters in self.filters
        ]

    def sweep(self) -> float:
        solver = self.solver
        cost, _ = _landed(solver.shape, solver.value)
        waves = self.plane.waves(cost[self.box], 0.0)
        found = _Aims(
            np.full((self.height, self.plane.columns), np.inf, dtype=np.float32),
            np.zeros((self.height, self.plane.columns, 2), dtype=np.int16),
        )
        for spread, filters, lost in zip(self.spreads, self.filters, self.gone, strict=True):
            gone = lost.astype(np.float32)
            table = (1.0 + self.plane.expectations(waves, filters) + gone) / (1.0 - gone)
            self._try(table, spread, found)
        cells = self.cells & np.isfinite(found.cost)
        view = solver.value[self.box][: self.height]
        moved = float(np.abs(found.cost[cells] - view[cells]).max(initial=0.0))
        view[cells] = found.cost[cells]
        solver.aim[self.box][: self.height][cells] = (
            found.aim[cells] + np.argwhere(cells) + [self.box[0].start, self.box[1].start]
        )
        return moved

    def _try(self, table: Maps, spread: Spread, found: _Aims) -> None:
        step = self.solver.shape.step
        count = int(np.ceil(WIDEST_AIM * spread.length / AIM_STEP))
        for angle in np.arange(-count, count + 1) * (AIM_STEP / spread.length):
            nearest = int(np.argmin(np.abs(PATTERN_DIRECTIONS - angle)))
            up = round(spread.length * np.cos(angle) / step)
            right = round(spread.length * np.sin(angle) / step)
            rows = min(self.height, self.plane.rows - up)
            start, stop = max(0, -right), min(self.plane.columns, self.plane.columns - right)
            if rows <= 0 or start >= stop:
                continue
            offered = table[nearest, up : up + rows, start + right : stop + right]
            cost = found.cost[:rows, start:stop]
            better = offered < cost
            np.copyto(cost, offered, where=better)
            found.aim[:rows, start:stop][better] = (up, right)
