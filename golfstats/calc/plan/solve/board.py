"""What is known of a hole while it is being solved."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Maps, Shape
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.record import Bools
from golfstats.calc.vocabulary import Lie

PLAYED_LIES = (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY)
"""A putt from the green and the tee shot are worked out apart."""
MOST_GONE = 0.95
"""Chance to be out of bounds above which a shot counts as this bad: one that is always out would cost without end."""


@dataclass(eq=False)
class Board:
    """Value and best aim of every cell so far. The sweeps change its maps in place."""

    shape: Shape
    bag: Bag
    value: Maps
    putter_value: Maps
    """Strokes with the putter from every cell off the green; infinite where nobody putts."""

    def __post_init__(self) -> None:
        shape = self.shape
        self.aim: NDArray[np.int16] = np.empty((*self.value.shape, 2), dtype=np.int16)
        self.aim[:] = shape.row(np.array(shape.pin[1])), shape.column(np.array(shape.pin[0]))
        self.putter: Bools = np.zeros(self.value.shape, dtype=np.bool_)


def landed(shape: Shape, value: Maps) -> Maps:
    """What a shot that finishes in each cell costs from there; 0 out of bounds, whose cost depends on the shot."""
    cost = np.asarray(value.ravel()[shape.drop], dtype=np.float32)
    cost[shape.surface == Surface.WATER] += 1.0
    cost[shape.surface == Surface.OUT] = 0.0
    return cost


def out_of_bounds(shape: Shape) -> Maps:
    return np.asarray(shape.surface == Surface.OUT, dtype=np.float32)


def shot_cost(kept: Maps, gone: Maps) -> Maps:
    """Expected strokes of a shot that is played again with chance ``gone``; ``kept``: the expectation over the rest."""
    return np.asarray((1.0 + kept + gone) / (1.0 - gone))
