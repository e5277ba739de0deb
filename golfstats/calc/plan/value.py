"""The best way to play a hole from everywhere on it: value iteration whose expectations are filters of the value map.

The value of a cell is the least, over clubs and aims, of one stroke plus the expected value of where the ball
finishes. A ball in a penalty area costs a stroke and is dropped; one out of bounds is played again from the same
place, so with chance G of that an aim costs (1 + B + G) / (1 - G), B the expectation over what stays in
bounds.

Cells are settled from the hole outwards, because a good shot ends nearer the hole: first the green by the putting
model, then the surroundings of the hole, where every cell may aim at any spot near the hole, then bands of
distance, where aims lie within 45 degrees of straight ahead. Each is swept until it moves no more; later bands hardly
move earlier ones.

A fine grid starts from what a grid of double cells found: its values, and for each length the distances and
directions at which it was not clearly worse than the best. The rest is not tried again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from golfstats.calc.plan.greens import Greens, value_off_green, value_on_green
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Maps, Shape
from golfstats.calc.plan.kernels import Plane
from golfstats.calc.plan.shots.pattern import Bag, usable_lengths
from golfstats.calc.plan.solve.board import PLAYED_LIES, Board, landed, out_of_bounds
from golfstats.calc.plan.solve.far import LONG_BY, Box, FarShots, WorthTrying, lengths_for
from golfstats.calc.plan.solve.near import NearShots
from golfstats.calc.record import Bools
from golfstats.calc.vocabulary import Lie

SURROUNDINGS = 70.0
"""Yards from the hole within which any direction may be the best."""
AIM_WITHIN = 14.0
"""Yards from the hole within which shots from the surroundings are aimed."""
BANDS = (150.0, 260.0, 370.0, 480.0, 600.0, 1000.0)
"""Yards from the hole at which one band of cells ends and the next begins."""
REACH_OF_PATTERN = 80.0
"""Yards that a pattern may look beyond the edge of the grid."""
SETTLED, MOST_SWEEPS = 0.02, 6
"""Strokes by which no value may have moved in the last sweep. What is left to move is much less: most shots end in
cells that are settled already (tried: 0.0005 at most from the tee)."""
FINE = 2.0
"""Yards: cells up to this size start from a grid of double cells."""
CLEARLY_WORSE = 0.05
"""Strokes by which a length was worse on the grid of double cells, that it is not tried again."""


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
        return landed(self.shape, self.value), out_of_bounds(self.shape)


class _Piece(NamedTuple):
    """Cells of one lie in a band; a band is named by where it begins."""

    low: float
    lie: Lie


def best_play(shape: Shape, bag: Bag, greens: Greens) -> BestPlay:
    """Solve a hole for a player on greens as they are."""
    board = _solved(shape, bag, greens).board
    wet, out = shape.surface == Surface.WATER, shape.surface == Surface.OUT
    board.value[wet] = landed(shape, board.value)[wet]
    board.value[out] = np.nan
    return BestPlay(shape, board.value, board.aim, board.putter)


def _solved(shape: Shape, bag: Bag, greens: Greens) -> _Solver:
    value = (2.6 + shape.distance / 130.0).astype(np.float32)
    worth = None
    if shape.step <= FINE:
        coarse = _solved(shape.coarser(), bag, greens)
        value = coarse.board.value[shape.coarser_cells()]
        worth = coarse.worth_trying
    on_green = value_on_green(shape, greens)
    value = np.where(np.isnan(on_green), value, on_green).astype(np.float32)
    solver = _Solver(Board(shape, bag, value, value_off_green(shape, greens).astype(np.float32)), worth)
    solver.settle()
    return solver


class _Solver:
    def __init__(self, board: Board, worth: Mapping[_Piece, WorthTrying] | None) -> None:
        self.board, self.worth = board, worth
        shape = board.shape
        ahead = shape.y[:, None] > shape.pin[1] - SURROUNDINGS / 2
        self.around: Bools = (shape.distance <= SURROUNDINGS) | ahead
        self.worth_trying: dict[_Piece, WorthTrying] = {}

    def settle(self) -> None:
        _sweep_until_settled(self._near_shots())
        for low, high in zip((SURROUNDINGS, *BANDS), BANDS, strict=False):
            pieces = self._band(low, high)
            _sweep_until_settled(list(pieces.values()))
            for piece, shots in pieces.items():
                self.worth_trying[piece] = shots.worth_trying(CLEARLY_WORSE)

    def _near_shots(self) -> list[NearShots]:
        shape = self.board.shape
        aims = np.argwhere((shape.distance <= AIM_WITHIN) & (shape.surface != Surface.OUT))
        cells = {lie: np.argwhere(self.around & (shape.lie == lie)) for lie in PLAYED_LIES}
        return [NearShots(self.board, lie, where, aims) for lie, where in cells.items() if len(where)]

    def _band(self, low: float, high: float) -> dict[_Piece, FarShots]:
        shape, bag = self.board.shape, self.board.bag
        band = (shape.distance > low) & (shape.distance <= high) & ~self.around
        lies = [lie for lie in PLAYED_LIES if np.any(band & (shape.lie == lie))]
        if not lies:
            return {}
        rows = np.flatnonzero((band & np.isin(shape.lie, lies)).any(axis=1))
        longest = max(float(usable_lengths(bag, lie)[-1]) for lie in lies)
        ahead = int(np.ceil((min(longest, high + LONG_BY) + REACH_OF_PATTERN) / shape.step))
        box = self._box(int(rows[0]), min(int(rows[-1]) + 1 + ahead, shape.surface.shape[0]))
        plane = Plane(box[0].stop - box[0].start, box[1].stop - box[1].start, shape.step, REACH_OF_PATTERN)
        pieces = {}
        for lie in lies:
            cells = np.argwhere((band & (shape.lie == lie))[box])
            piece = _Piece(low, lie)
            tried = lengths_for(bag, lie, low, high) if self.worth is None else self.worth.get(piece)
            pieces[piece] = FarShots(
                self.board, plane, box, lie, cells, tried or lengths_for(bag, lie, low, high)
            )
        return pieces

    def _box(self, first: int, top: int) -> Box:
        """The rows from ``first`` to ``top``, with the columns in which any of them is in bounds."""
        inside = np.flatnonzero((self.board.shape.surface[first:top] != Surface.OUT).any(axis=0))
        return slice(first, top), slice(int(inside[0]), int(inside[-1]) + 1)


def _sweep_until_settled(pieces: Sequence[NearShots] | Sequence[FarShots]) -> None:
    for _ in range(MOST_SWEEPS):
        if max((piece.sweep() for piece in pieces), default=0.0) < SETTLED:
            break
