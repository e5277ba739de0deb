"""A spot on a hole in a golfer's words: "the left edge of the fairway", "12 yards left of the flag"."""

from __future__ import annotations

import numpy as np

from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Shape
from golfstats.calc.record import Ints

EDGE = 4.0
"""Yards from its edge within which an aim is "at the edge" of something."""
BESIDE = 14.0
"""Yards beyond the edge of the fairway within which a hazard serves as a mark."""
NEAR_FLAG = 30.0
"""Yards from the hole within which an aim is described from the flag."""
MARKS = {Surface.SAND: "bunker", Surface.WATER: "water", Surface.WOODS: "trees", Surface.OUT: "out of bounds"}


def aim_words(shape: Shape, x: float, y: float) -> str:
    """Where a shot is aimed, as one says it standing behind the ball."""
    from_flag_x, from_flag_y = x - shape.pin[0], y - shape.pin[1]
    if np.hypot(from_flag_x, from_flag_y) <= NEAR_FLAG:
        return _from_flag(from_flag_x, from_flag_y)
    row = int(np.clip(shape.row(np.array(y)), 0, len(shape.y) - 1))
    fairway = _run_at(shape, row, x, Surface.FAIRWAY)
    if fairway is None:
        return _line_of_play(x)
    left, right = shape.x[fairway[0]] - shape.step / 2, shape.x[fairway[1]] + shape.step / 2
    if x < left - EDGE or x > right + EDGE:
        return _beyond_fairway(shape, row, x, left, right)
    if x < left + EDGE or x > right - EDGE:
        return _with_mark(shape, row, fairway, "left" if x < left + EDGE else "right")
    middle = (left + right) / 2
    if abs(x - middle) <= max(2.5, (right - left) / 10):
        return "the middle of the fairway"
    return f"the {'left' if x < middle else 'right'} half of the fairway"


def _from_flag(x: float, y: float) -> str:
    parts = []
    if abs(x) >= 2.0:
        parts.append(f"{abs(x):.0f} yards {'left' if x < 0 else 'right'} of the flag")
    if abs(y) >= 2.0:
        depth = f"{abs(y):.0f} yards {'short' if y < 0 else 'long'}"
        parts.append(depth if parts else f"{depth} of the flag")
    return " and ".join(parts) if parts else "the flag"


def _with_mark(shape: Shape, row: int, fairway: tuple[int, int], side: str) -> str:
    """The edge of the fairway, or of a hazard that begins close by there."""
    edge = fairway[0] if side == "left" else fairway[1]
    way = -1 if side == "left" else 1
    for away in range(1, int(BESIDE / shape.step) + 1):
        column = edge + way * away
        if not 0 <= column < len(shape.x):
            break
        surface = Surface(int(shape.surface[row, column]))
        if surface == Surface.SAND:
            inner = "right" if side == "left" else "left"
            return f"the {inner} edge of the {side} bunker"
    return f"the {side} edge of the fairway"


def _beyond_fairway(shape: Shape, row: int, x: float, left: float, right: float) -> str:
    side, away = ("left", left - x) if x < left else ("right", x - right)
    here = Surface(int(shape.surface_at(np.array([x]), np.array([shape.y[row]]))[0]))
    if here in MARKS:
        return (
            f"the {side} {MARKS[here]}" if here != Surface.OUT else f"{away:.0f} yards {side} of the fairway"
        )
    return f"{away:.0f} yards {side} of the fairway"


def _line_of_play(x: float) -> str:
    """Where there is no fairway: from the straight line between tee and green."""
    side = "left" if x < 0 else "right"
    return "the middle of the green" if abs(x) < 3 else f"{abs(x):.0f} yards {side} of the line to the green"


def _run_at(shape: Shape, row: int, x: float, surface: Surface) -> tuple[int, int] | None:
    """First and last column of the unbroken run of a surface nearest to x in a row; None if there is none."""
    columns: Ints = np.flatnonzero(shape.surface[row] == surface)
    if not len(columns):
        return None
    runs = np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1)
    wide = [run for run in runs if len(run) * shape.step >= 8.0]
    if not wide:
        return None
    nearest = min(wide, key=lambda run: float(np.min(np.abs(shape.x[run] - x))))
    return int(nearest[0]), int(nearest[-1])
