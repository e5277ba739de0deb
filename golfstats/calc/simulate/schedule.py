"""What is to be played, and what changes the golfers while they play it: the inputs of the simulator."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from golfstats.calc.record import Bools, Floats, Ints, Table
from golfstats.calc.simulate.golfer import Golfer, Spot
from golfstats.calc.vocabulary import Part

NEVER = 99
"""Strokes over par at which a ball is picked up: never."""


@dataclass(frozen=True)
class Schedule(Table):
    """The rounds to play, in order. One row a round."""

    player: Ints
    """Row of the golfer."""
    day: Ints
    """Day number (``date.toordinal()``)."""
    course: Ints
    """Number of the course, handed on to the record."""
    tees: Ints
    """Row of the course as seen from the tee set played."""
    first_hole: Ints
    """1 for the front nine and full rounds, 10 for the back nine."""
    holes: Ints
    """How many are played, without passing the last."""
    counting: Bools
    competition: Bools
    start_hour: Floats
    temperature: Floats
    """Degrees Celsius."""
    wind_speed: Floats
    """Miles an hour."""
    pick_up: Ints
    """The ball is picked up once so many strokes over par are taken; ``NEVER`` to hole out always."""


@dataclass(frozen=True)
class SpotEffect:
    """A planted change by round: the spreads of the shots in a spot are multiplied by ``factor``."""

    spot: Spot
    factor: Floats
    """One a round of the schedule; 1 is no change."""
    on: Literal["both", "direction", "distance"] = "both"


@dataclass(frozen=True)
class Effects:
    """All that is planted in the rounds beside the golfers' own skill."""

    disturbance: Floats | None = None
    """Surface disturbance 0…1, one row a round and one column a hole number (1 is column 0)."""
    on_direction: float = 0.25
    """Share by which full disturbance widens the direction spread of putts."""
    on_distance: float = 0.25
    """The same for their distance spread."""
    spots: Sequence[SpotEffect] = field(default_factory=tuple)
    form_sd: float = 0.0125
    """Standard deviation of the logarithm of a round's factor on every spread: good and bad days."""
    slope: float = 0.12
    """Share by which a downhill putt widens the distance spread and an uphill putt narrows it."""


def simple_schedule(
    rounds_each: int,
    players: int = 1,
    first_day: int = 735_000,
    days_apart: float = 7.0,
    temperature: float = 18.0,
    wind_speed: float = 6.0,
) -> Schedule:
    """Full rounds on the first course, evenly spread over time, players in turn on each day."""
    total = rounds_each * players
    return Schedule(
        player=np.tile(np.arange(players), rounds_each),
        day=first_day + np.repeat((days_apart * np.arange(rounds_each)).astype(np.int64), players),
        course=np.zeros(total, dtype=np.int64),
        tees=np.zeros(total, dtype=np.int64),
        first_hole=np.ones(total, dtype=np.int64),
        holes=np.full(total, 18, dtype=np.int64),
        counting=np.ones(total, dtype=np.bool_),
        competition=np.zeros(total, dtype=np.bool_),
        start_hour=np.full(total, 9.0),
        temperature=np.full(total, temperature),
        wind_speed=np.full(total, wind_speed),
        pick_up=np.full(total, NEVER, dtype=np.int64),
    )


def spread_factors(
    golfers: Sequence[Golfer],
    effects: Effects,
    round_: Ints,
    player: Ints,
    part: Ints,
    distance: Floats,
) -> tuple[Floats, Floats]:
    """Factors on the direction and on the distance spread of shots, from weak spots and planted effects.

    The arrays have one value a shot; ``distance`` is yards to the hole. Approach and short game are
    one kind of shot here, told apart by the spot's distances alone.
    """
    direction = np.ones(len(distance))
    pace = np.ones(len(distance))
    for row, golfer in enumerate(golfers):
        for weak_spot, factor in golfer.weak_spots:
            hit = (player == row) & _in_spot(weak_spot, part, distance)
            direction[hit] *= factor
            pace[hit] *= factor
    for effect in effects.spots:
        here = np.where(_in_spot(effect.spot, part, distance), effect.factor[round_], 1.0)
        if effect.on != "distance":
            direction *= here
        if effect.on != "direction":
            pace *= here
    return direction, pace


def _in_spot(spot: Spot, part: Ints, distance: Floats) -> Bools:
    apart = (Part.TEE, Part.PUTTING)
    sort = part == spot.part if spot.part in apart else ~np.isin(part, apart)
    inside: Bools = sort & (distance >= spot.low) & (distance <= spot.high)
    return inside
