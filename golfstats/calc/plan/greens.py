"""What putting costs today: the player's own two spreads, widened by what the greens do to them, and corrected by
distance as their own putts tell (:mod:`~golfstats.calc.putting.misfit`).

- *Surface disturbance* widens both spreads by the club's measured growth, else by 10% at full disturbance: the middle
  of the service's prior, not a measurement. No study of golfers' putting before and after coring was found.
- *Speed*: a ball that would die a foot past runs faster over a slow hole's edge than over a fast one's, so less of
  the hole's width takes it. Rolling resistance from the stimpmeter (release at 1.83 m/s, from memory) and the capture
  speed 1.63 m/s, falling with the square of how far off centre the ball is (Holmes 1991, Penner 2002, from memory). The
  make model knows one width; it is scaled by this width relative to that on a green of 10 feet.
- *Slope*: a putt uphill is paced better than one downhill; the sizes follow tour putts of 8 feet, which were holed
  about 5% more often uphill than downhill, and almost 20% less often side-downhill than side-uphill on steep slopes
  (Broadie 2019).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy import optimize

from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import Shape
from golfstats.calc.putting.leave import leave_probabilities
from golfstats.calc.putting.misfit import moved
from golfstats.calc.putting.outcomes import LEAVE_EDGES_FT, STATES_FT, Outcomes, putting_outcomes
from golfstats.calc.record import Bools, Floats
from golfstats.calc.strokes.reference_course import REFERENCE_HOLES
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

USUAL_SPEED_FT = 10.0
USUAL_GROWTH = (0.10, 0.10)
"""Growth of the direction and the distance spread at full disturbance where the club has no measurement."""
DROPS_WITHIN = 0.3
"""Yards: a shot from off the green that would end so near drops."""
PACE_BY_SLOPE, LINE_BY_SLOPE = 4.7, 4.0
"""Growth of the distance spread for a slope of 1 downhill (2% downhill: 9%), and of the direction spread for a slope
of 1 across the putt (2%: 8%)."""
FEET = np.concatenate([[0.05, 0.3, 0.7], np.geomspace(1.0, 180.0, 60)])
FIRST_PUTTS_FT = np.array([hole.first_putt_feet for hole in REFERENCE_HOLES], dtype=np.float64)
SLOPE_STEPS = np.linspace(-0.04, 0.04, 5)
CAPTURE_SPEED, RELEASE_SPEED = 1.63, 1.83
"""Metres a second."""
METRES_A_FOOT = 0.3048
OFF_GREEN_LINE, OFF_GREEN_PACE = 1.3, 1.5
"""A putt from off the green: factors on the two spreads (common practice, no source)."""
PUTT_FROM_WITHIN = 20.0
"""Yards from the hole within which short grass may be putted from."""


@dataclass(frozen=True)
class Greens:
    """The greens as found or expected, and the player's putting on usual ones."""

    direction_sd: float
    """Radians."""
    distance_sd: float
    """Share of the roll."""
    disturbance: float = 0.0
    """0 undisturbed … 1 just cored."""
    speed_ft: float = USUAL_SPEED_FT
    growth: tuple[float, float] = USUAL_GROWTH
    own: tuple[tuple[float, ...], ...] = ()
    """What the player's own putts say beside two spreads, at each of :data:`FEET`: moves of the log odds of one putt
    and of three or more. Empty: they are not known.
    """

    def undisturbed(self) -> Greens:
        """The same putting on usual greens."""
        return Greens(self.direction_sd, self.distance_sd, own=self.own)

    @property
    def spreads(self) -> tuple[float, float]:
        """Direction (radians) and distance spread on these greens, on the level."""
        width = float(hole_width(1.0, USUAL_SPEED_FT) / hole_width(1.0, self.speed_ft))
        return (
            self.direction_sd * (1 + self.growth[0] * self.disturbance) * width,
            self.distance_sd * (1 + self.growth[1] * self.disturbance),
        )

    @cached_property
    def outcomes(self) -> Outcomes:
        """Putts from each of :data:`FEET` on the level."""
        outcomes = _outcomes(*self.spreads)
        return moved(outcomes, np.array(self.own)) if self.own else outcomes

    def putts(self, feet: Floats) -> Floats:
        """Expected putts on the level."""
        return np.asarray(np.interp(feet, FEET, self.outcomes.expected_putts))

    def putts_on_slope(self, feet: Floats, uphill: Floats, across: Floats) -> Floats:
        """Expected putts where the first putt runs up a slope (negative: down) or across one (0.02 is 2%)."""
        direction, distance = self.spreads
        level = self.outcomes.expected_putts
        quick = self.speed_ft / USUAL_SPEED_FT
        by_pace = np.array(
            [
                _putts_with(direction, distance, 1.0, float(np.exp(-PACE_BY_SLOPE * quick * s)))
                for s in SLOPE_STEPS
            ]
        )
        by_line = np.array(
            [
                _putts_with(direction, distance, float(1 + LINE_BY_SLOPE * quick * abs(s)), 1.0)
                for s in SLOPE_STEPS
            ]
        )
        # Against the same chain without a change: `_putts_with` lets no long miss spread more, the level's chain does.
        same = _putts_with(direction, distance, 1.0, 1.0)
        extra_pace = _two_way(by_pace - same, uphill, feet)
        extra_line = _two_way(by_line - same, across, feet)
        expected: Floats = np.interp(feet, FEET, level) + extra_pace + extra_line
        return np.maximum(expected, 1.0)

    def putts_from_off(self, feet: Floats) -> Floats:
        """Expected strokes when the first putt is played through short grass."""
        direction, distance = self.spreads
        wider = _putts_with(direction, distance, OFF_GREEN_LINE, OFF_GREEN_PACE)
        same = _putts_with(direction, distance, 1.0, 1.0)
        level = self.outcomes.expected_putts
        return np.asarray(np.interp(feet, FEET, level + wider - same))


def value_on_green(shape: Shape, greens: Greens) -> Floats:
    """Expected putts from every cell of the hole's neighbourhood (NaN off the green).

    Cells near the hole are averages over the cell; in the cell of the hole a ball may have dropped.
    """
    on: Bools = shape.surface == Surface.GREEN
    value = np.full(shape.surface.shape, np.nan)
    row, column = np.nonzero(on)
    x, y = shape.x[column] - shape.pin[0], shape.y[row] - shape.pin[1]
    inner = np.linspace(-0.5, 0.5, 9)[:-1] + 1 / 16
    within = shape.step * np.stack(np.meshgrid(inner, inner), axis=-1).reshape(-1, 2)
    near = np.hypot(x, y) < 8.0
    strokes = _strokes(greens, shape, x, y)
    fine_x, fine_y = x[near, None] + within[:, 0], y[near, None] + within[:, 1]
    fine = _strokes(greens, shape, fine_x, fine_y)
    strokes[near] = np.where(np.hypot(fine_x, fine_y) <= DROPS_WITHIN, 0.0, fine).mean(axis=1)
    value[row, column] = strokes
    return value


def value_off_green(shape: Shape, greens: Greens) -> Floats:
    """Expected strokes with the putter from every cell of short grass near the hole; infinite elsewhere."""
    value = np.full(shape.surface.shape, np.inf)
    near = (shape.lie == Lie.FAIRWAY) & (shape.distance <= PUTT_FROM_WITHIN)
    value[near] = greens.putts_from_off(shape.distance[near] * FEET_PER_YARD)
    return value


def hole_width(past_ft: float, speed_ft: float) -> float:
    """Share of the hole's width that takes a ball which would stop so far past on a green of this speed."""
    slowing = RELEASE_SPEED**2 / (2 * speed_ft * METRES_A_FOOT)
    speed = np.sqrt(2 * slowing * max(past_ft, 0.0) * METRES_A_FOOT)
    return float(np.sqrt(max(1 - speed / CAPTURE_SPEED, 0.0)))


def _strokes(greens: Greens, shape: Shape, x: Floats, y: Floats) -> Floats:
    """Expected putts from points round the hole (yards from it)."""
    away = np.maximum(np.hypot(x, y), 1e-6)
    falls = np.array(shape.falls_to)
    feet = away * FEET_PER_YARD
    if not falls.any():
        return greens.putts(feet)
    # The putt runs towards the hole: uphill if that is against the fall of the green.
    uphill = (falls[0] * x + falls[1] * y) / away
    across = np.abs(falls[0] * y - falls[1] * x) / away
    return greens.putts_on_slope(feet, uphill, across)


@lru_cache(maxsize=256)
def _outcomes(direction_sd: float, distance_sd: float) -> Outcomes:
    return putting_outcomes(FEET, direction_sd, distance_sd)


@lru_cache(maxsize=2048)
def _putts_with(direction_sd: float, distance_sd: float, line: float, pace: float) -> Floats:
    """Expected putts when the first has wider spreads (factors) and the others do not."""
    after = putting_outcomes(STATES_FT, direction_sd, distance_sd).expected_putts
    leaves = leave_probabilities(FEET, LEAVE_EDGES_FT, direction_sd * line, distance_sd * pace)
    return np.asarray(1.0 + leaves @ after)


def _two_way(table: Floats, slope: Floats, feet: Floats) -> Floats:
    """Linear in slope and in feet between the rows of a table by slope."""
    place = np.clip((slope - SLOPE_STEPS[0]) / (SLOPE_STEPS[1] - SLOPE_STEPS[0]), 0, len(SLOPE_STEPS) - 1.001)
    low = place.astype(np.int64)
    share = place - low
    columns = np.interp(feet, FEET, np.arange(len(FEET)))
    left = np.minimum(columns.astype(np.int64), len(FEET) - 2)
    way = columns - left
    first = table[low, left] * (1 - way) + table[low, left + 1] * way
    second = table[low + 1, left] * (1 - way) + table[low + 1, left + 1] * way
    mixed: Floats = first * (1 - share) + second * share
    return mixed


def growth_for_cost(strokes: float, direction_sd: float, distance_sd: float) -> tuple[float, float]:
    """Growth of both spreads at full disturbance with which a round costs so many strokes more on the greens.

    A club measures the cost in strokes a round; a plan needs spreads. Both are taken to grow alike, over the
    eighteen first putts of the reference course. Between nothing and the double of both spreads.
    """
    usual = float(np.sum(_outcomes_at(FIRST_PUTTS_FT, direction_sd, distance_sd)))

    def short_of_it(growth: float) -> float:
        wider = _outcomes_at(FIRST_PUTTS_FT, direction_sd * (1 + growth), distance_sd * (1 + growth))
        return float(np.sum(wider)) - usual - strokes

    if strokes <= 0:
        return 0.0, 0.0
    growth = 1.0 if short_of_it(1.0) < 0 else float(optimize.brentq(short_of_it, 0.0, 1.0, xtol=1e-3))
    return growth, growth


def _outcomes_at(feet: Floats, direction_sd: float, distance_sd: float) -> Floats:
    return putting_outcomes(feet, direction_sd, distance_sd).expected_putts
