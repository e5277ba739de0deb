"""Small holes for tests: a strip of fairway in rough, nothing else unless asked for."""

from __future__ import annotations

import numpy as np

from golfstats.calc.plan.hole.drawing import Drawing, Patch, Surface, pin_position
from golfstats.calc.plan.hole.shape import Shape, shape_of


def box(surface, left, right, near, far):
    return Patch(surface, (np.array([[left, near], [right, near], [right, far], [left, far]], dtype=float),))


def strip_hole(length=380.0, half=17.5, extra=(), falls_to=(0.0, 0.0)) -> Drawing:
    """A straight hole, alike on both sides: fairway, rough to 45 yards, woods to 70."""
    angle = np.linspace(0, 2 * np.pi, 32, endpoint=False)
    green = np.column_stack([13 * np.sin(angle), length + 14 * np.cos(angle)])
    patches = (
        box(Surface.WOODS, -71.5, 71.5, -20, length + 40),
        box(Surface.ROUGH, -45.5, 45.5, -20, length + 40),
        box(Surface.FAIRWAY, -half, half, 100, length),
        *extra,
    )
    return Drawing(patches, green, falls_to=falls_to, base=Surface.OUT, margin=0.0)


def shape(drawing: Drawing, pin="middle", step=2.0) -> Shape:
    return shape_of(drawing, pin_position(drawing, pin), step)
