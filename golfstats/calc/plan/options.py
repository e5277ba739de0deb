"""What one shot is worth from one place: every club and direction, each with its expected score.

The expectation runs over points that fill the shot's pattern evenly, the same for every option, so that options
differ by what they are and not by chance.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from golfstats.calc.plan.hole.shape import Shape
from golfstats.calc.plan.shots.pattern import (
    Bag,
    Errors,
    club_numbers,
    finish,
    laid_out_errors,
    usable_lengths,
)
from golfstats.calc.plan.value import BestPlay
from golfstats.calc.record import Floats, Ints, Table
from golfstats.calc.vocabulary import Lie

WIDEST, COARSE = 45, 2.5
"""Degrees to either side that are tried, and between neighbours before the best are looked at more closely."""
BLOCK = 24
"""Options valued at a time, to bound memory."""
BEYOND = 0.0, 1.0
"""What a shot that finishes beyond the grid costs from there, and that it is out of bounds."""


@dataclass(frozen=True)
class Options(Table):
    """Shots that may be tried from one place. Equally long columns."""

    club: Ints
    """Row in the bag."""
    length: Floats
    """Yards that the shot is meant to go."""
    direction: Floats
    """Radians clockwise from straight ahead (the line from tee to green)."""
    expected: Floats
    """Strokes to hole out, this one and its penalties included."""
    gone: Floats
    """Chance to finish out of bounds."""

    @property
    def best(self) -> int:
        return int(np.argmin(self.expected))

    def best_of_club(self, club: int) -> int | None:
        """Row of the club's best option; None if it has none."""
        rows = np.flatnonzero(self.club == club)
        return int(rows[np.argmin(self.expected[rows])]) if len(rows) else None


@lru_cache(maxsize=4)
def pattern_points(power: int = 10) -> Errors:
    return laid_out_errors(power)


def options_from(
    best: BestPlay, bag: Bag, place: tuple[float, float], lie: Lie, errors: Errors | None = None
) -> Options:
    """Every club in every direction within 45 degrees of the hole, then more finely round the best of each club."""
    x, y = best.shape.pin[0] - place[0], best.shape.pin[1] - place[1]
    to_hole = float(np.arctan2(x, y))
    lengths = _lengths(bag, lie, float(np.hypot(x, y)))
    angles = to_hole + np.radians(np.arange(-WIDEST, WIDEST + 0.1, COARSE))
    coarse = valued(best, bag, place, lie, *_crossed(lengths, angles), errors)
    near = [row for row in (coarse.best_of_club(c) for c in range(len(bag.clubs))) if row is not None]
    fine_length, fine_angle = [], []
    for row in near:
        turns = coarse.direction[row] + np.radians(np.arange(-2.0, 2.01, 0.5))
        fine_length.append(np.full(len(turns), coarse.length[row]))
        fine_angle.append(turns)
    fine = valued(best, bag, place, lie, np.concatenate(fine_length), np.concatenate(fine_angle), errors)
    columns = {
        name: np.concatenate([getattr(coarse, name), getattr(fine, name)])
        for name in ("club", "length", "direction", "expected", "gone")
    }
    return Options(**columns)


def valued(
    best: BestPlay,
    bag: Bag,
    place: tuple[float, float],
    lie: Lie,
    length: Floats,
    direction: Floats,
    errors: Errors | None = None,
) -> Options:
    """The given shots (lengths and directions, one each) with what they cost.

    ``errors`` are standard errors of one shot; the same serve every option.
    """
    errors = errors or pattern_points()
    cost, out = (np.append(inside, beyond) for inside, beyond in zip(best.landed(), BEYOND, strict=True))
    each, which = np.unique(length, return_inverse=True)
    along, across = _strayed(bag, lie, each, errors)
    expected, gone = np.empty(len(length)), np.empty(len(length))
    for start in range(0, len(length), BLOCK):
        rows = slice(start, start + BLOCK)
        played = which[rows]
        cells = best.shape.numbers(*_turned(place, along[played], across[played], direction[rows]))
        gone[rows], expected[rows] = out.take(cells).mean(axis=1), cost.take(cells).mean(axis=1)
    gone = np.minimum(gone, 0.95)
    return Options(
        club=club_numbers(bag, lie, length),
        length=length,
        direction=direction,
        expected=(1.0 + expected + gone) / (1.0 - gone),
        gone=gone,
    )


def ends(
    bag: Bag, place: tuple[float, float], lie: Lie, length: Floats, direction: Floats, errors: Errors
) -> tuple[Floats, Floats]:
    """Where each error takes each shot: x and y, shots × errors."""
    return _turned(place, *_strayed(bag, lie, length, errors), direction)


def _strayed(bag: Bag, lie: Lie, length: Floats, errors: Errors) -> tuple[Floats, Floats]:
    """Yards from the ball along the line and to its right, shots × errors."""
    along_sd, across_sd, mishit = bag.spreads(lie, length)
    along, across = finish(along_sd[:, None], across_sd[:, None], mishit[:, None], length[:, None], errors)
    return along + length[:, None], across


def _turned(
    place: tuple[float, float], along: Floats, across: Floats, direction: Floats
) -> tuple[Floats, Floats]:
    sin, cos = np.sin(direction)[:, None], np.cos(direction)[:, None]
    return place[0] + along * sin + across * cos, place[1] + along * cos - across * sin


def plain_tee_shot(shape: Shape, bag: Bag) -> tuple[float, float]:
    """What most would do: the longest club that does not go past the hole, at the middle of the fairway.

    Length (yards) and direction; straight at the flag where no fairway lies at that distance.
    """
    away = np.array(shape.pin) - np.array(shape.tee)
    length = min(bag.reach(Lie.TEE), float(np.hypot(*away)))
    from_tee = np.hypot(shape.x[None, :] - shape.tee[0], shape.y[:, None] - shape.tee[1])
    row, column = np.nonzero((np.abs(from_tee - length) <= shape.step) & (shape.lie == Lie.FAIRWAY))
    if not len(row) or float(np.hypot(*away)) - length < 20.0:
        return length, float(np.arctan2(*away))
    turns = np.sort(np.arctan2(shape.x[column] - shape.tee[0], shape.y[row] - shape.tee[1]))
    return length, float(turns[len(turns) // 2])


def _lengths(bag: Bag, lie: Lie, distance: float) -> Floats:
    """Lengths that reach no farther than a little past the hole, and that of the hole itself."""
    lengths = usable_lengths(bag, lie)
    kept = lengths[lengths <= distance + 20.0]
    if distance < lengths[-1]:
        kept = np.append(kept, distance)
    return np.unique(kept if len(kept) else lengths[:1])


def _crossed(lengths: Floats, angles: Floats) -> tuple[Floats, Floats]:
    length, angle = np.meshgrid(lengths, angles, indexing="ij")
    return length.ravel(), angle.ravel()
