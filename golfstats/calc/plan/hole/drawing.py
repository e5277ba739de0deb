"""A hole drawn as surfaces: polygons in yards, tee at the origin and the middle of the green straight ahead.

x runs to the right of the line from tee to green, y along it. A map's polygons
come in any orientation; :func:`facing_the_green` turns them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.record import Bools, Floats
from golfstats.calc.vocabulary import UNKNOWN, Lie, Word


class Surface(Word):
    """What the ground is."""

    ROUGH = 0
    WOODS = 1
    FAIRWAY = 2
    WATER = 3
    SAND = 4
    GREEN = 5
    OUT = 6
    """Out of bounds; also everything beyond the edge of the drawing."""


LIE_OF_SURFACE = np.array(
    [Lie.ROUGH, Lie.RECOVERY, Lie.FAIRWAY, Lie.PENALTY, Lie.SAND, Lie.GREEN, UNKNOWN], dtype=np.int8
)
"""Lie from which a ball on each surface is played; a ball out of bounds has none."""


@dataclass(frozen=True)
class Patch:
    """One polygon of a surface. Inside of a ring within a ring counts as outside (even-odd rule)."""

    surface: Surface
    rings: tuple[Floats, ...]
    """Each n × 2, yards; the first and last corner need not be the same."""


@dataclass(frozen=True)
class Drawing:
    """A hole as drawn. Yards."""

    patches: tuple[Patch, ...]
    """In the order in which they are painted; a map's are best sorted by surface."""
    green: Floats
    """Outline of the green, n × 2, painted last."""
    tee: tuple[float, float] = (0.0, 0.0)
    falls_to: tuple[float, float] = (0.0, 0.0)
    """Direction in which the green falls, as long as its slope (0.02 is 2%); (0, 0) is level or unknown."""
    generic: bool = False
    """Made from a scorecard and words, not from a map."""
    base: Surface = Surface.ROUGH
    """What no polygon covers."""
    margin: float = 30.0
    """Yards drawn beyond the outermost polygon; farther away is out of bounds."""
    bearing: float | None = None
    """Radians clockwise from north in which the line from tee to green runs; None where no map tells it."""

    @property
    def middle(self) -> tuple[float, float]:
        """Middle of the green: the centroid of its outline."""
        return centroid(self.green)

    @property
    def length(self) -> float:
        """From the tee to the middle of the green, straight."""
        return math.dist(self.tee, self.middle)


def facing_the_green(drawing: Drawing) -> Drawing:
    """The same hole moved and turned so that the tee is (0, 0) and the middle of the green lies at x = 0, y > 0."""
    origin = np.array(drawing.tee)
    ahead = np.array(drawing.middle) - origin
    cos, sin = ahead[::-1] / np.hypot(*ahead)
    turn = np.array([[cos, sin], [-sin, cos]])

    def turned(ring: Floats) -> Floats:
        moved: Floats = (ring - origin) @ turn
        return moved

    falls_x, falls_y = np.array(drawing.falls_to) @ turn
    return replace(
        drawing,
        patches=tuple(Patch(p.surface, tuple(turned(ring) for ring in p.rings)) for p in drawing.patches),
        green=turned(drawing.green),
        tee=(0.0, 0.0),
        falls_to=(float(falls_x), float(falls_y)),
    )


def centroid(ring: Floats) -> tuple[float, float]:
    """Centroid of a polygon's area (the surveyor's formula)."""
    x, y = ring.T
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    cross = x * next_y - next_x * y
    area = cross.sum() / 2
    if abs(area) < 1e-9:
        raise ValueError("the outline of the green has no area")
    return (
        float(((x + next_x) * cross).sum() / (6 * area)),
        float(((y + next_y) * cross).sum() / (6 * area)),
    )


def inside(rings: tuple[Floats, ...], x: Floats, y: Floats) -> Bools:
    """Which of the points lie inside the polygon: a ray to the right crosses its edges an odd number of times."""
    odd = np.zeros(np.broadcast(x, y).shape, dtype=np.bool_)
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if y0 == y1:
                continue
            crosses_height = (y0 > y) != (y1 > y)
            odd ^= crosses_height & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    return odd


PIN_POSITIONS = ("middle", "front", "back", "left", "right")
PIN_FROM_EDGE = 5.0
"""Yards that a hole is usually cut from the edge of the green at least (four paces: common practice, no source)."""


def pin_position(drawing: Drawing, where: str) -> tuple[float, float]:
    """A hole location: halfway between the middle and the edge, or as near to the edge as holes are usually cut."""
    if where not in PIN_POSITIONS:
        raise ValueError(f"a pin is {', '.join(PIN_POSITIONS)}, not {where}")
    x, y = drawing.middle
    way = {"middle": (0, 0), "front": (0, -1), "back": (0, 1), "left": (-1, 0), "right": (1, 0)}[where]
    reach = np.arange(0.0, 60.0, 0.5)
    on_green = inside((drawing.green,), x + way[0] * reach, y + way[1] * reach)
    edge = float(reach[np.argmin(on_green)]) if not on_green.all() else float(reach[-1])
    out = max(0.0, min(0.62 * edge, edge - PIN_FROM_EDGE))
    return x + way[0] * out, y + way[1] * out
