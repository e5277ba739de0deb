"""A hole from its scorecard and a few words: a stand-in until somebody draws it. Every answer on it must say so.

Sizes are common practice, no source: a fairway 32 yards wide that starts 100 yards from the tee, rough to 38
yards from the middle, trees beyond to 64, farther out of bounds; a green 28 yards deep and 26 wide with a bunker on
either side unless words place any; a dogleg turns 30 degrees. Strips of sand are 12 yards wide and begin at the edge
of the fairway, water and trees reach from 6 yards beside the fairway to the end of the drawing, out of bounds from
8 yards beside it.
"""

from __future__ import annotations

import math

import numpy as np

from golfstats.calc.plan.hole.drawing import Drawing, Patch, Surface, facing_the_green
from golfstats.calc.plan.hole.words import Hazard, HoleWords
from golfstats.calc.record import Floats
from golfstats.sentences import Sentence

FAIRWAY_WIDE, FAIRWAY_FROM, ROUGH_TO, DRAWN_TO = 32.0, 100.0, 38.0, 64.0
GREEN_DEEP, GREEN_WIDE = 28.0, 26.0
DOGLEG_DEGREES = 30.0
BUNKER_WIDE, BESIDE_FAIRWAY = 12.0, {Surface.WATER: 6.0, Surface.WOODS: 6.0, Surface.OUT: 8.0}
SHORTEST, LONGEST = 40.0, 700.0
"""Yards of a hole that can be drawn without a map."""
SLOPE = 0.02
"""Of a green that is said to slope."""
GENERIC_WORDS = Sentence(
    "Rests on a generic hole made from the scorecard and a few words, not on a map of it."
)


def generic_hole(par: int, length: float, words: HoleWords | None = None) -> Drawing:
    """A drawing of a hole of this par and length (yards along the hole), facing the green."""
    words = words or HoleWords()
    if not SHORTEST <= length <= LONGEST:
        raise ValueError(Sentence("a hole is 40 to 700 yards long, not {length}", length=f"{length:g}"))
    line = _Line(length, words)
    half = (words.fairway_wide or FAIRWAY_WIDE) / 2
    deep, wide = words.green_deep or GREEN_DEEP, words.green_wide or GREEN_WIDE
    end = length + deep / 2 + 25.0
    patches = [
        Patch(Surface.WOODS, (line.strip(-20.0, end, -DRAWN_TO, DRAWN_TO),)),
        Patch(Surface.ROUGH, (line.strip(-20.0, end, -ROUGH_TO, ROUGH_TO),)),
    ]
    start = words.fairway_from if words.fairway_from is not None else FAIRWAY_FROM
    if par > 3 and start < length - deep / 2 - 10:
        patches.append(Patch(Surface.FAIRWAY, (line.strip(start, length, -half, half),)))
    # Short grass round the green, a few yards wide.
    patches.append(Patch(Surface.FAIRWAY, (line.oval(0.0, 0.0, deep / 2 + 3, wide / 2 + 3),)))
    beside = [hazard for hazard in words.hazards if hazard.by_green]
    if not any(hazard.surface == Surface.SAND for hazard in beside):
        beside += [Hazard(Surface.SAND, side, by_green=True) for side in ("left", "right")]
    patches += [_by_green(line, hazard, deep, wide) for hazard in beside]
    patches += [_strip(line, hazard, half, end) for hazard in words.hazards if not hazard.by_green]
    return facing_the_green(
        Drawing(
            patches=tuple(patches),
            green=line.oval(0.0, 0.0, deep / 2, wide / 2),
            falls_to=_falls(line, words.slopes),
            generic=True,
            base=Surface.OUT,
            margin=0.0,
        )
    )


def falls_to(slopes: str | None) -> tuple[float, float]:
    """Fall of a green on a drawing that faces it, from the word for the side it slopes to; level without one."""
    ways = {"front": (0.0, -1.0), "back": (0.0, 1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}
    x, y = ways[slopes] if slopes else (0.0, 0.0)
    return SLOPE * x, SLOPE * y


class _Line:
    """The middle of the hole from the tee: straight, or bent once."""

    def __init__(self, length: float, words: HoleWords) -> None:
        self.length = length
        self.bend = min(words.bend or 0.0, length - 20.0) if words.dogleg else length
        degrees = (words.degrees or DOGLEG_DEGREES) if words.dogleg else 0.0
        self.turn = math.radians(degrees) * (-1.0 if words.dogleg == "left" else 1.0)
        self.ahead = np.array([math.sin(self.turn), math.cos(self.turn)])
        """Direction of play after the bend."""
        self.right = np.array([math.cos(self.turn), -math.sin(self.turn)])

    def at(self, along: float, aside: float) -> Floats:
        """The point so many yards along the hole and to the right of its middle."""
        if along <= self.bend:
            return np.array([aside, along])
        return np.array([0.0, self.bend]) + (along - self.bend) * self.ahead + aside * self.right

    def strip(self, start: float, end: float, left: float, right: float) -> Floats:
        """Outline of a strip along the hole between two distances to the side."""
        return np.concatenate([self._edge(start, end, left), self._edge(start, end, right)[::-1]])

    def oval(self, along: float, aside: float, half_deep: float, half_wide: float) -> Floats:
        """Outline of an oval whose middle lies so far beyond and to the right of the middle of the green."""
        angle = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
        middle = self.at(self.length, 0.0) + along * self.ahead + aside * self.right
        around: Floats = np.outer(half_deep * np.cos(angle), self.ahead)
        return np.asarray(middle + around + np.outer(half_wide * np.sin(angle), self.right))

    def direction(self, where: str) -> Floats:
        ways = {"front": -self.ahead, "back": self.ahead, "left": -self.right, "right": self.right}
        return np.asarray(ways[where])

    def _edge(self, start: float, end: float, aside: float) -> Floats:
        """A line beside the hole; at the corner the two legs meet where the lines beside them do."""
        points = [self.at(start, aside), self.at(end, aside)]
        if start < self.bend < end:
            to_side = np.array([1.0, -math.tan(self.turn / 2)])
            points.insert(1, np.array([0.0, self.bend]) + aside * to_side)
        return np.array(points)


def _strip(line: _Line, hazard: Hazard, half: float, end: float) -> Patch:
    start = hazard.start if hazard.start is not None else -20.0
    stop = hazard.end if hazard.end is not None else end
    stop = max(min(stop, end), start + 1.0)
    if hazard.side == "across":
        return Patch(hazard.surface, (line.strip(start, stop, -DRAWN_TO, DRAWN_TO),))
    if hazard.surface == Surface.SAND:
        near, far = half, half + BUNKER_WIDE
    else:
        near, far = half + BESIDE_FAIRWAY[hazard.surface], DRAWN_TO
    left, right = (-far, -near) if hazard.side == "left" else (near, far)
    return Patch(hazard.surface, (line.strip(start, stop, left, right),))


def _by_green(line: _Line, hazard: Hazard, deep: float, wide: float) -> Patch:
    size = 6.0 if hazard.surface == Surface.SAND else 9.0
    along = {"front": -(deep / 2 + size + 1), "back": deep / 2 + size + 1}.get(hazard.side, -deep / 8)
    aside = {"left": -(wide / 2 + size + 1), "right": wide / 2 + size + 1}.get(hazard.side, 0.0)
    long_way, short_way = (size, 0.4 * wide) if hazard.side in {"front", "back"} else (0.35 * deep, size)
    return Patch(hazard.surface, (line.oval(along, aside, long_way, short_way),))


def _falls(line: _Line, slopes: str | None) -> tuple[float, float]:
    if slopes is None:
        return (0.0, 0.0)
    x, y = SLOPE * line.direction(slopes)
    return float(x), float(y)
