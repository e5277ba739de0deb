"""One shot from off the green for many balls: what is tried, where it flies, what lie it finds.

Assumptions (common practice, no source, unless said; tuned only through the calibration of
:mod:`golfstats.calc.simulate.golfer`):

- A player goes for the hole if the longest club for the lie reaches it, and else hits that club. With
  less than 45 yards missing they lay up to 80 yards. Out of recovery they punch half a drive at most.
- Aim is half-way between hole and middle of the green. Nobody aims away from trouble.
- Length and direction errors are independent normals; up to 50 yards the short-game spreads hold, from
  100 the full-swing ones, in between a mixture. Shorter clubs are straighter than the driver.
- A mis-hit doubles the direction error and loses 10–75% of the length; half of the short ones fly long instead.
- Wind costs a drive 0.48% of its length for each mile an hour against, gives 0.36% for each from behind
  (from simulator figures in the trade press: −12 and +9 yards for 10 mph on 250); other shots are
  played for the wind and keep 40% of that. Warmth gives 0.14% for each degree Celsius (trade press).
- Whoever loses a ball or hits it out of bounds plays again from the same spot, one penalty stroke more.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Bools, Codes, Floats, Ints, Table
from golfstats.calc.simulate.balls import SHARES, Balls, Skills
from golfstats.calc.simulate.course import Beyond, Course
from golfstats.calc.simulate.golfer import (
    DRIVER,
    LONGEST_FROM_FAIRWAY,
    LONGEST_FROM_ROUGH,
    LONGEST_FROM_SAND,
    PUTTER,
    SAND_WEDGE,
)
from golfstats.calc.vocabulary import UNKNOWN, Lie, LieQuality, PenaltyKind

HOLED_WITHIN = 0.3
"""Yards: a shot from off the green that would end so near drops."""
FRINGE_WIDTH = 2.0
NEAR_GREEN = 20.0
ROUGH_BEFORE_FAIRWAY = 100.0
"""Yards: width of the fringe; how near a miss meets what surrounds the green; from the tee to the fairway."""
SAND_PLAY = 50.0
"""Yards: within this a bunker shot is an explosion, beyond it a swing for distance."""
PUTT_FROM_FRINGE = 0.6
"""Chance that the putter is taken."""

LONGEST_BY_LIE = np.array(
    [DRIVER, LONGEST_FROM_FAIRWAY, LONGEST_FROM_ROUGH, LONGEST_FROM_SAND, 5, LONGEST_FROM_FAIRWAY, PUTTER, 5]
)
DIRECTION_BY_LIE = np.array([0.95, 1.0, 1.2, 1.4, 1.5, 1.0, 1.0, 1.6])
PACE_BY_LIE = np.array([0.95, 1.0, 1.25, 1.6, 1.5, 1.0, 1.0, 1.8])
MISHIT_BY_LIE = np.array([0.8, 1.0, 1.2, 1.8, 1.8, 0.6, 0.0, 2.0])
"""Each in the order of :class:`~golfstats.calc.vocabulary.Lie`."""


@dataclass(frozen=True)
class Plans(Table):
    """What the player tries. One row a ball."""

    club: Codes
    length: Floats
    """Intended length of the shot."""
    target: Floats
    """That length where the shot is a lay-up; NaN where the hole was the target."""
    full: Bools
    heading: Floats
    """Radians from the line of play, right positive."""


@dataclass(frozen=True)
class Flights(Table):
    """Where the ball came to rest, before any drop. One row a ball."""

    x: Floats
    y: Floats
    travel: Floats
    offline: Floats
    """Finish to the right of the target line."""
    depth: Floats
    """Finish beyond the intended length, along the target line."""


@dataclass(frozen=True)
class Landings(Table):
    """Where the next shot is played from, and at what price. One row a ball."""

    x: Floats
    y: Floats
    lie: Codes
    penalty: Ints
    penalty_kind: Codes


def plan(balls: Balls, skills: Skills, rng: np.random.Generator) -> Plans:
    """Choose club, length and direction for balls off the green."""
    distance = balls.distance
    lengths = SHARES * skills.drive[:, None]
    longest = LONGEST_BY_LIE[balls.lie]
    reach = np.take_along_axis(lengths, longest[:, None], axis=1)[:, 0]
    blocked = np.isin(balls.lie, (Lie.RECOVERY, Lie.PENALTY))
    reach = np.where(blocked, 0.5 * skills.drive, reach)
    missing = distance - reach
    lays_up = (missing > 0) & (missing < 45) & (balls.lie != Lie.TEE) & ~blocked & (distance > 120)
    length = np.where(lays_up, distance - 80.0, np.minimum(distance, reach))
    club = np.maximum(np.sum(lengths >= length[:, None] - 1.0, axis=1) - 1, longest)
    club = np.where((balls.lie == Lie.SAND) & (distance <= SAND_PLAY), SAND_WEDGE, club)
    putts = (balls.lie == Lie.FRINGE) & (rng.random(len(balls)) < PUTT_FROM_FRINGE)
    club = np.where(putts, PUTTER, club)
    full = ~putts & ~blocked & (length >= 0.9 * lengths[:, -1])
    goes_for_it = missing <= 0
    aim_x = np.where(goes_for_it & ~putts, 0.5 * balls.green_x, 0.0)
    aim_y = np.where(goes_for_it & ~putts, 0.5 * balls.green_y, 0.0)
    # Within chipping range the hole itself is the aim.
    near = distance < 30
    aim_x, aim_y = np.where(near, 0.0, aim_x), np.where(near, 0.0, aim_y)
    heading = np.arctan2(aim_y - balls.y, aim_x - balls.x)
    length = np.where(goes_for_it, np.hypot(aim_x - balls.x, aim_y - balls.y), length)
    target = np.where(lays_up, length, np.nan)
    return Plans(club.astype(np.int8), length, target, full, heading)


def lie_qualities(balls: Balls, rng: np.random.Generator) -> Codes:
    """Some lies in the rough are poor or good, a few in sand are plugged; the others go unmentioned."""
    chance = rng.random(len(balls))
    in_rough, in_sand = balls.lie == Lie.ROUGH, balls.lie == Lie.SAND
    quality = np.full(len(balls), UNKNOWN, dtype=np.int8)
    quality[in_rough & (chance < 0.18)] = LieQuality.POOR
    quality[in_rough & (chance > 0.88)] = LieQuality.GOOD
    quality[in_sand & (chance < 0.05)] = LieQuality.PLUGGED
    return quality


def strike(
    balls: Balls,
    plans: Plans,
    skills: Skills,
    quality: Codes,
    factors: tuple[Floats, Floats],
    rng: np.random.Generator,
) -> Flights:
    """Hit the planned shots. ``factors`` multiply the direction and the distance spread."""
    n = len(balls)
    putts = plans.club == PUTTER
    fullness = np.clip((plans.length - 50.0) / 50.0, 0.0, 1.0)
    club_factor = 0.72 + 0.28 * np.minimum(plans.length / skills.drive, 1.0)
    direction = np.radians(
        fullness * skills.direction_sd * club_factor + (1 - fullness) * skills.short_direction_sd
    )
    pace = fullness * skills.distance_sd + (1 - fullness) * skills.short_distance_sd
    lie_factor = _quality_factor(quality)
    gusts = 1.0 + 0.008 * np.hypot(balls.headwind, balls.crosswind) * fullness
    direction = direction * DIRECTION_BY_LIE[balls.lie] * lie_factor * gusts
    pace = pace * PACE_BY_LIE[balls.lie] * lie_factor * gusts
    direction = np.where(putts, 1.3 * skills.putting_direction_sd, direction) * balls.form * factors[0]
    pace = np.where(putts, 1.25 * skills.putting_distance_sd, pace) * balls.form * factors[1]
    mishit_chance = fullness * skills.mishit + (1 - fullness) * skills.short_mishit
    mishit_chance = mishit_chance * MISHIT_BY_LIE[balls.lie] * balls.form * factors[1]
    mishit = (rng.random(n) < mishit_chance) & ~putts
    thin = mishit & (plans.length < 50.0) & (rng.random(n) < 0.5)
    share = np.where(thin, rng.uniform(1.3, 2.0, n), np.where(mishit, rng.uniform(0.25, 0.9, n), 1.0))
    # Nobody lands a ball to the inch: half a yard comes on top of the share of the length.
    length_error = np.hypot(pace * plans.length, 0.5) * rng.standard_normal(n)
    short = np.where(balls.lie == Lie.TEE, 0.0, skills.short_by * fullness)
    travel = (plans.length * share * (1 - short) + length_error) * _weather_share(balls, plans, fullness)
    travel = np.maximum(travel, 1.0)
    angle = direction * np.where(mishit, 2.0, 1.0) * rng.standard_normal(n)
    drift = 0.001 * balls.crosswind * plans.length * fullness
    offline = travel * np.sin(angle) + drift
    ahead = travel * np.cos(angle)
    cos, sin = np.cos(plans.heading), np.sin(plans.heading)
    return Flights(
        x=balls.x + ahead * cos - offline * sin,
        y=balls.y + ahead * sin + offline * cos,
        travel=np.hypot(ahead, offline),
        offline=offline,
        depth=ahead - plans.length,
    )


def _quality_factor(quality: Codes) -> Floats:
    """Factor on the spreads for the quality of the lie; 1 where it was not mentioned."""
    factor = np.ones(len(quality))
    factor[quality == LieQuality.GOOD] = 0.9
    factor[quality == LieQuality.POOR] = 1.2
    factor[quality == LieQuality.PLUGGED] = 1.5
    return factor


def _weather_share(balls: Balls, plans: Plans, fullness: Floats) -> Floats:
    """What wind and warmth do to the length, as a factor. The player allows for most of it but with the driver."""
    into = np.maximum(balls.headwind, 0.0)
    behind = np.maximum(-balls.headwind, 0.0)
    shift = -0.0048 * into + 0.0036 * behind + 0.0014 * (balls.temperature - 18.0)
    return np.asarray(1.0 + np.where(plans.club == DRIVER, 1.0, 0.4) * shift * fullness)


def land(balls: Balls, holes: Course, flights: Flights, rng: np.random.Generator) -> Landings:
    """The lie that each ball finds, with penalties; the hole itself counts as green."""
    n = len(balls)
    chance = rng.random(n)
    landing = Landings(
        x=flights.x.copy(),
        y=flights.y.copy(),
        lie=np.full(n, int(Lie.ROUGH), dtype=np.int8),
        penalty=np.zeros(n, dtype=np.int64),
        penalty_kind=np.full(n, UNKNOWN, dtype=np.int8),
    )
    off_centre = np.hypot(flights.x - balls.green_x, flights.y - balls.green_y)
    near = off_centre <= holes.green + NEAR_GREEN
    _land_round_green(landing, holes, off_centre, near, chance)
    _land_on_hole(landing, balls, holes, ~near, chance)
    return landing


def _land_round_green(
    landing: Landings, holes: Course, off_centre: Floats, near: Bools, chance: Floats
) -> None:
    water, sand = holes.water, holes.water + holes.bunkers
    landing.lie[near & (chance > 0.65)] = Lie.FAIRWAY
    landing.lie[near & (chance < sand)] = Lie.SAND
    on_green = off_centre <= holes.green
    fringe = ~on_green & (off_centre <= holes.green + FRINGE_WIDTH)
    landing.lie[fringe] = Lie.FRINGE
    landing.lie[on_green] = Lie.GREEN
    wet = near & ~on_green & ~fringe & (chance < water)
    landing.lie[wet] = Lie.ROUGH
    landing.penalty[wet] = 1
    landing.penalty_kind[wet] = PenaltyKind.LATERAL_DROP


def _land_on_hole(landing: Landings, balls: Balls, holes: Course, away: Bools, chance: Floats) -> None:
    wide = np.abs(landing.y)
    from_tee = landing.x + holes.length
    mown = (from_tee > ROUGH_BEFORE_FAIRWAY) & (wide <= holes.fairway) & (landing.x < 0)
    landing.lie[away & mown] = Lie.FAIRWAY
    fairway_sand = ~mown & (wide <= holes.corridor) & (from_tee > 180) & (chance < 0.08)
    landing.lie[away & fairway_sand] = Lie.SAND
    beyond = away & (wide > holes.corridor)
    kind = np.where(landing.y < 0, holes.left, holes.right)
    trees = beyond & (kind == Beyond.TREES)
    landing.lie[trees & (chance < 0.55)] = Lie.RECOVERY
    unplayable = trees & (chance > 0.97)
    landing.penalty[unplayable] = 1
    landing.penalty_kind[unplayable] = PenaltyKind.UNPLAYABLE
    wet = beyond & (kind == Beyond.PENALTY_AREA)
    playable = wet & (chance < 0.1)
    landing.lie[playable] = Lie.PENALTY
    drop = wet & ~playable
    landing.y[drop] = np.sign(landing.y[drop]) * (holes.corridor[drop] - 2.0)
    landing.penalty[drop] = 1
    landing.penalty_kind[drop] = PenaltyKind.LATERAL_DROP
    gone = (beyond & (kind == Beyond.OUT_OF_BOUNDS)) | (trees & (chance > 0.94) & (chance <= 0.97))
    landing.x[gone], landing.y[gone] = balls.x[gone], balls.y[gone]
    landing.lie[gone] = balls.lie[gone]
    landing.penalty[gone] = 1
    landing.penalty_kind[gone] = PenaltyKind.STROKE_AND_DISTANCE


def drops(flights: Flights, balls: Balls) -> Bools:
    """Shots from off the green that go straight in."""
    return (np.hypot(flights.x, flights.y) <= HOLED_WITHIN) & (balls.distance > HOLED_WITHIN)
