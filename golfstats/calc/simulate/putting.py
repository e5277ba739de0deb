"""Play on the green by the angle-and-distance model, for many balls at once.

Assumptions (the model is Gelman 2019, *Model building and expansion for golf putting*, after Gelman
and Nolan 2002; see :mod:`golfstats.calc.putting.make_model` for its make probability):

- the ball starts off the intended line by an angle ~ Normal(bias, direction_sd) and runs straight;
- the player means to send it ``OVERSHOT_FT`` past the hole;
  it rolls (distance + OVERSHOT_FT)(1 + Normal(0, distance_sd));
- it drops if the angle is within asin((R - r)/distance) and it would have come to rest 0 to
  ``TOLERANCE_FT`` past the hole; R and r are the radius of the hole and of the ball;
- a miss leaves the ball where that roll ends, and the next putt is played from there;
- the two errors are independent, and so are putts.

Distances are feet. Disturbed greens, tiredness or better days come in as larger or smaller spreads.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.putting.make_model import OVERSHOT_FT, TOLERANCE_FT, capture_angle
from golfstats.calc.record import Bools, Floats, Ints, Table

PUTTS_CAP = 10
"""The putt with this number drops whatever its roll, so that play always ends."""


@dataclass(frozen=True)
class Rolls(Table):
    """Outcome of one putt for each ball. Equally long columns."""

    holed: Bools
    after_ft: Floats
    """Distance to the hole after the putt; 0 when holed."""
    offline_ft: Floats
    """Finish to the side of the line from ball to hole, right positive; 0 when holed."""
    depth_ft: Floats
    """Finish beyond (+) or short of (-) the hole along that line; 0 when holed."""


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


def roll(
    distance_ft: Floats,
    direction_sd: Floats | float,
    distance_sd: Floats | float,
    rng: np.random.Generator,
    bias: Floats | float = 0.0,
) -> Rolls:
    """One putt for each ball.

    ``direction_sd`` and ``bias`` are radians (bias right positive), ``distance_sd`` a share of the
    roll; all broadcast against ``distance_ft``.
    """
    shape = distance_ft.shape
    angle = np.asarray(bias) + np.asarray(direction_sd) * rng.standard_normal(shape)
    error = np.asarray(distance_sd) * rng.standard_normal(shape)
    length = np.maximum((distance_ft + OVERSHOT_FT) * (1.0 + error), 0.0)
    past = length - distance_ft
    on_line = np.abs(angle) <= capture_angle(distance_ft)
    holed = on_line & (past >= 0.0) & (past <= TOLERANCE_FT)
    offline = np.where(holed, 0.0, length * np.sin(angle))
    depth = np.where(holed, 0.0, length * np.cos(angle) - distance_ft)
    return Rolls(holed, np.hypot(offline, depth), offline, depth)


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
