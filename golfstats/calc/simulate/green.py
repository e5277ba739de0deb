"""One putt for many balls on tilted greens, on top of the angle-and-distance model of
:mod:`golfstats.calc.simulate.putting`.

Assumptions:

- Of the variance of the direction error, ``READ_SHARE`` comes from the read and the rest from the stroke, as
  Karlsen and Nilsson 2008 found for distance errors (reading 60%; that direction is alike is our assumption).
- Reads of breaking putts err towards too little break (Science and Golf II 1994, chapter 29, abstract):
  ``under_read`` of the golfer, as a shift of the direction error to the low side.
- Uphill putts are paced better than downhill ones, so it pays to be below the hole (common practice, no source).
- Break does not widen the direction error otherwise. A golfer with ``under_read`` 0 on greens with
  ``Effects.slope`` 0 follows the angle-and-distance model exactly.
- Putts that break or run uphill do so because of where the ball lies on the one slope of the green.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.putting.make_model import capture_angle
from golfstats.calc.record import Bools, Codes, Floats, Table
from golfstats.calc.simulate.balls import Balls, Skills
from golfstats.calc.simulate.course import Course
from golfstats.calc.simulate.putting import roll
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, MissDepth, MissSide, PuttBreak, PuttFault, Slope

READ_SHARE = 0.6
LONG_PUTT_FT = 30.0
"""Beyond this a player blames the pace for a miss, whatever the line."""


@dataclass(frozen=True)
class PuttResults(Table):
    """One row a ball: where it is after the putt and what the player notes of it."""

    x: Floats
    y: Floats
    holed: Codes
    slope: Codes
    putt_break: Codes
    side: Codes
    depth: Codes
    fault: Codes


def putt(
    balls: Balls,
    holes: Course,
    skills: Skills,
    slope_effect: float,
    factors: tuple[Floats, Floats],
    rng: np.random.Generator,
) -> PuttResults:
    """Putt every ball once. ``factors`` multiply the direction and the distance spread."""
    n = len(balls)
    distance = np.maximum(balls.distance, 1e-6)
    heading_x, heading_y = -balls.x / distance, -balls.y / distance
    level = np.isnan(holes.tilt)
    fall_x = np.where(level, 0.0, np.cos(np.where(level, 0.0, holes.tilt)))
    fall_y = np.where(level, 0.0, np.sin(np.where(level, 0.0, holes.tilt)))
    downhill = heading_x * fall_x + heading_y * fall_y
    to_right = -heading_y * fall_x + heading_x * fall_y

    direction_sd = skills.putting_direction_sd * balls.form * factors[0]
    pace_sd = skills.putting_distance_sd * balls.form * factors[1] * np.exp(slope_effect * downhill)
    putt_break = np.full(n, int(PuttBreak.STRAIGHT), dtype=np.int8)
    putt_break[to_right > 0.3] = PuttBreak.LEFT_TO_RIGHT
    putt_break[to_right < -0.3] = PuttBreak.RIGHT_TO_LEFT
    low_side = np.where(putt_break == PuttBreak.STRAIGHT, 0.0, np.sign(to_right))
    read = direction_sd * (np.sqrt(READ_SHARE) * rng.standard_normal(n) + skills.under_read * low_side)
    feet = distance * FEET_PER_YARD
    rolls = roll(feet, np.sqrt(1 - READ_SHARE) * direction_sd, pace_sd, rng, bias=read)

    slope = np.full(n, int(Slope.SIDEHILL), dtype=np.int8)
    slope[downhill > 0.5], slope[downhill < -0.5], slope[level] = Slope.DOWNHILL, Slope.UPHILL, Slope.LEVEL
    forward, right = rolls.depth_ft / FEET_PER_YARD, rolls.offline_ft / FEET_PER_YARD
    angle = np.arctan2(rolls.offline_ft, rolls.depth_ft + feet)
    return PuttResults(
        x=forward * heading_x - right * heading_y,
        y=forward * heading_y + right * heading_x,
        holed=rolls.holed.astype(np.int8),
        slope=slope,
        putt_break=putt_break,
        side=_side(rolls.holed | (np.abs(angle) <= capture_angle(feet)), rolls.offline_ft, low_side),
        depth=np.where(
            rolls.holed, UNKNOWN, np.where(rolls.depth_ft < 0, MissDepth.SHORT, MissDepth.LONG)
        ).astype(np.int8),
        fault=_fault(rolls.holed, angle, read, feet),
    )


def _side(on_line: Bools, offline: Floats, low_side: Floats) -> Codes:
    side = np.where(offline > 0, int(MissSide.RIGHT), int(MissSide.LEFT))
    breaks = low_side != 0
    side[breaks] = np.where(offline * low_side > 0, int(MissSide.LOW), int(MissSide.HIGH))[breaks]
    side[on_line] = UNKNOWN
    return side.astype(np.int8)


def _fault(holed: Bools, angle: Floats, read: Floats, feet: Floats) -> Codes:
    by_read = np.abs(read) > np.abs(angle - read)
    fault = np.where(by_read, int(PuttFault.READ), int(PuttFault.LINE))
    fault[(np.abs(angle) <= capture_angle(feet)) | (feet > LONG_PUTT_FT)] = PuttFault.PACE
    fault[holed] = UNKNOWN
    return fault.astype(np.int8)
