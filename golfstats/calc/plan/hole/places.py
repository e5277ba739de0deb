"""A spot on a hole in a golfer's words: "the left edge of the fairway", "12 yards left of the flag"."""

from __future__ import annotations

import numpy as np

from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Shape
from golfstats.calc.record import Ints
from golfstats.sentences import Sentence

EDGE = 4.0
"""Yards from its edge within which an aim is "at the edge" of something."""
BESIDE = 14.0
"""Yards beyond the edge of the fairway within which a hazard serves as a mark."""
NEAR_FLAG = 30.0
"""Yards from the hole within which an aim is described from the flag."""
MARKS = {
    Surface.SAND: (Sentence("the left bunker"), Sentence("the right bunker")),
    Surface.WATER: (Sentence("the left water"), Sentence("the right water")),
    Surface.WOODS: (Sentence("the left trees"), Sentence("the right trees")),
}


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
        return Sentence("the middle of the fairway")
    return (
        Sentence("the left half of the fairway") if x < middle else Sentence("the right half of the fairway")
    )


def _from_flag(x: float, y: float) -> str:
    across, along = f"{abs(x):.0f}", f"{abs(y):.0f}"
    beside = Sentence("{yards} yards right of the flag", yards=across)
    if x < 0:
        beside = Sentence("{yards} yards left of the flag", yards=across)
    if abs(y) < 2.0:
        return beside if abs(x) >= 2.0 else Sentence("the flag")
    if abs(x) < 2.0:
        if y < 0:
            return Sentence("{yards} yards short of the flag", yards=along)
        return Sentence("{yards} yards long of the flag", yards=along)
    if y < 0:
        return Sentence("{beside} and {yards} yards short", beside=beside, yards=along)
    return Sentence("{beside} and {yards} yards long", beside=beside, yards=along)


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
            if side == "left":
                return Sentence("the right edge of the left bunker")
            return Sentence("the left edge of the right bunker")
    return (
        Sentence("the left edge of the fairway")
        if side == "left"
        else Sentence("the right edge of the fairway")
    )


def _beyond_fairway(shape: Shape, row: int, x: float, left: float, right: float) -> str:
    here = Surface(int(shape.surface_at(np.array([x]), np.array([shape.y[row]]))[0]))
    if here in MARKS:
        on_the_left, on_the_right = MARKS[here]
        return on_the_left if x < left else on_the_right
    if x < left:
        return Sentence("{yards} yards left of the fairway", yards=f"{left - x:.0f}")
    return Sentence("{yards} yards right of the fairway", yards=f"{x - right:.0f}")


def _line_of_play(x: float) -> str:
    """Where there is no fairway: from the straight line between tee and green."""
    if abs(x) < 3:
        return Sentence("the middle of the green")
    if x < 0:
        return Sentence("{yards} yards left of the line to the green", yards=f"{abs(x):.0f}")
    return Sentence("{yards} yards right of the line to the green", yards=f"{abs(x):.0f}")


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
