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
from golfstats.calc.record import Bools, Floats, Table


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
