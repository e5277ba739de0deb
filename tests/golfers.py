"""Invented golfers of tests, and how they putt."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.record import Bools, Floats, Ints, Table
from golfstats.calc.simulate.golfer import Golfer, spot
from golfstats.calc.simulate.putting import Rolls, roll

PUTTS_CAP = 10
"""The putt with this number drops whatever its roll, so that play always ends."""


def weaken(
    golfer: Golfer, part: str, factor: float, low: float | None = None, high: float | None = None
) -> Golfer:
    """The golfer with their spreads multiplied by ``factor`` in one spot; below 1 makes them stronger there.

    ``part`` is a word of :class:`~golfstats.calc.vocabulary.Part`; ``low`` and ``high`` are yards.
    """
    return replace(golfer, weak_spots=(*golfer.weak_spots, (spot(part, low, high), factor)))


@dataclass(frozen=True)
class Putts(Table):
    """Every putt of every ball, ordered by ball and then by number."""

    ball: Ints
    """Position of the ball in the input of :func:`hole_out`."""
    number: Ints
    """1, 2, 3 … for the ball."""
    before_ft: Floats
    holed: Bools
    after_ft: Floats
    offline_ft: Floats
    depth_ft: Floats

    def count(self, balls: int) -> Ints:
        """Number of putts of each of the ``balls`` first balls."""
        return np.bincount(self.ball, minlength=balls).astype(np.int64)


def hole_out(
    first_distance_ft: Floats,
    direction_sd: Floats | float,
    distance_sd: Floats | float,
    rng: np.random.Generator,
    cap: int = PUTTS_CAP,
) -> Putts:
    """Putt every ball until it is holed.

    ``first_distance_ft`` holds one distance a ball; the spreads (radians, and a share of the roll)
    are one value or one a ball. Pass a disturbed green as larger spreads. The ``cap``-th putt always drops.
    """
    balls = len(first_distance_ft)
    direction = np.broadcast_to(np.asarray(direction_sd, dtype=np.float64), (balls,))
    pace = np.broadcast_to(np.asarray(distance_sd, dtype=np.float64), (balls,))
    ball = np.arange(balls)
    distance = np.asarray(first_distance_ft, dtype=np.float64)
    played: list[Putts] = []
    for number in range(1, cap + 1):
        rolls = roll(distance, direction[ball], pace[ball], rng)
        if number == cap:
            rolls = _all_holed(len(ball))
        numbers = np.full(len(ball), number, dtype=np.int64)
        played.append(
            Putts(ball, numbers, distance, rolls.holed, rolls.after_ft, rolls.offline_ft, rolls.depth_ft)
        )
        ball, distance = ball[~rolls.holed], rolls.after_ft[~rolls.holed]
        if not len(ball):
            break
    together = Putts(
        ball=np.concatenate([putts.ball for putts in played]),
        number=np.concatenate([putts.number for putts in played]),
        before_ft=np.concatenate([putts.before_ft for putts in played]),
        holed=np.concatenate([putts.holed for putts in played]),
        after_ft=np.concatenate([putts.after_ft for putts in played]),
        offline_ft=np.concatenate([putts.offline_ft for putts in played]),
        depth_ft=np.concatenate([putts.depth_ft for putts in played]),
    )
    return together.select(np.lexsort((together.number, together.ball)))


def _all_holed(balls: int) -> Rolls:
    nothing = np.zeros(balls)
    return Rolls(np.ones(balls, dtype=np.bool_), nothing, nothing, nothing)
