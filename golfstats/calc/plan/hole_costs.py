"""What a tee, a pin or a bunker costs whom on one hole, and how hard it is to hole out from each place.

Usual golfers of three handicaps play the hole as well as it can be played, as it is and with one thing changed. A map
of difficulty in the manner of Stöckl, Lamb and Lames (2012) shows the strokes that the middle one needs from each
place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import Drawing, Surface, pin_position
from golfstats.calc.plan.hole.picture import hole_picture
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.options import options_from
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import BestPlay, best_play
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence

HANDICAPS = (5.0, 15.0, 25.0)
STEP = 6.0
"""Yards: differences between two solutions on one grid count here, not the aim to the yard."""
FORWARD = 20.0
"""Yards by which a tee is moved to say what it costs."""
MOST_BUNKERS = 6
PINS = ("front", "back", "left", "right")
BLOCK = 2
"""Cells of the grid to the side of one of the map's squares."""


@dataclass(frozen=True)
class Cost:
    """One thing, and the strokes that it costs."""

    what: str
    """The tee, the hole location or the bunker."""
    strokes: float
    """Mean strokes that it costs this golfer."""


@dataclass(frozen=True)
class GolferCosts:
    """A usual golfer of one handicap."""

    handicap: float
    """Handicap Index of the golfer."""
    expected: float
    """Strokes for the hole."""
    tee: float
    """Strokes that the last 20 yards of length cost a usual golfer of this handicap."""
    pins: tuple[Cost, ...]
    """Strokes that a hole cut in this place costs over one in the middle of the green."""
    bunkers: tuple[Cost, ...]
    """Strokes that a bunker costs over rough in its place, the nearest to the tee first."""


@dataclass(frozen=True)
class HoleCosts:
    """One hole."""

    number: int
    """Number of the hole."""
    generic: bool
    """Not drawn from a map."""
    golfers: tuple[GolferCosts, ...]
    """By handicap, the lowest first."""
    map: str
    """SVG: strokes that the middle golfer needs from each place."""


def hole_costs(number: int, drawing: Drawing, gender: str) -> HoleCosts:
    """Some ten seconds a hole."""
    golfers = [
        (
            handicap,
            usual_bag(handicap, "women" if gender == "women" else "men"),
            Greens(*usual_putting(handicap)),
        )
        for handicap in HANDICAPS
    ]
    by_golfer = tuple(_costs(drawing, handicap, bag, greens) for handicap, bag, greens in golfers)
    _, bag, greens = golfers[len(golfers) // 2]
    best = best_play(shape_of(drawing, drawing.middle, STEP), bag, greens)
    return HoleCosts(number, drawing.generic, by_golfer, difficulty_map(drawing, best))


def _costs(drawing: Drawing, handicap: float, bag: Bag, greens: Greens) -> GolferCosts:
    best = best_play(shape_of(drawing, drawing.middle, STEP), bag, greens)
    x, y = best.shape.tee
    expected, nearer = (_from_tee(best, bag, place) for place in ((x, y), (x, y + FORWARD)))
    bunkers = sorted(
        (place for place, patch in enumerate(drawing.patches) if patch.surface == Surface.SAND),
        key=lambda place: float(drawing.patches[place].rings[0][:, 1].mean()),
    )

    def otherwise(changed: Drawing, pin: str = "middle") -> float:
        shape = shape_of(changed, pin_position(drawing, pin), STEP)
        return _from_tee(best_play(shape, bag, greens), bag, shape.tee)

    return GolferCosts(
        handicap=handicap,
        expected=expected,
        tee=expected - nearer,
        pins=tuple(Cost(pin, otherwise(drawing, pin) - expected) for pin in PINS),
        bunkers=tuple(
            Cost(_where(drawing, place), expected - otherwise(_without(drawing, place)))
            for place in bunkers[:MOST_BUNKERS]
        ),
    )


def _from_tee(best: BestPlay, bag: Bag, place: tuple[float, float]) -> float:
    options = options_from(best, bag, place, Lie.TEE)
    return float(options.expected[options.best])


def _without(drawing: Drawing, place: int) -> Drawing:
    """Rough where the bunker is."""
    patches = list(drawing.patches)
    patches[place] = replace(patches[place], surface=Surface.ROUGH)
    return replace(drawing, patches=tuple(patches))


def _where(drawing: Drawing, place: int) -> str:
    x, y = drawing.patches[place].rings[0].mean(axis=0) - np.array(drawing.tee)
    yards = f"{float(np.hypot(x, y)):.0f}"
    if x < -5:
        return Sentence("bunker left, {yards} yards from the tee", yards=yards)
    if x > 5:
        return Sentence("bunker right, {yards} yards from the tee", yards=yards)
    return Sentence("bunker in the middle, {yards} yards from the tee", yards=yards)


def difficulty_map(drawing: Drawing, best: BestPlay) -> str:
    """The hole with squares over it, the darker the more strokes; each says its number."""
    shape, value = best.shape, best.value
    squares = []
    for row in range(0, len(shape.y) - BLOCK + 1, BLOCK):
        for column in range(0, len(shape.x) - BLOCK + 1, BLOCK):
            block = np.s_[row : row + BLOCK, column : column + BLOCK]
            if (shape.surface[block] == Surface.OUT).any():
                continue
            squares.append(
                (
                    float(shape.x[column : column + BLOCK].mean()),
                    float(shape.y[row : row + BLOCK].mean()),
                    float(value[block].mean()),
                )
            )
    return hole_picture(drawing, shape.pin, squares=squares, side=BLOCK * shape.step)
