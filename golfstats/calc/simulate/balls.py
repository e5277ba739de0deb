"""The balls in play: one for each hole of each round, all of them played side by side.

The hole is at the origin; x runs along the line of play, y to its right, in yards. A ball on the
tee lies at (−length, 0). Hole locations are drawn anew for every round, hole and player.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np

from golfstats.calc.record import Codes, Floats, Ints, Table
from golfstats.calc.simulate.course import Course
from golfstats.calc.simulate.golfer import CLUBS, Golfer
from golfstats.calc.simulate.schedule import Schedule
from golfstats.calc.vocabulary import Lie

AnyTable = TypeVar("AnyTable", bound=Table)


@dataclass(frozen=True)
class Skills(Table):
    """The numbers of :class:`~golfstats.calc.simulate.golfer.Golfer`, one row a golfer or a ball."""

    drive: Floats
    direction_sd: Floats
    distance_sd: Floats
    short_by: Floats
    mishit: Floats
    short_direction_sd: Floats
    short_distance_sd: Floats
    short_mishit: Floats
    putting_direction_sd: Floats
    putting_distance_sd: Floats
    under_read: Floats


@dataclass(frozen=True)
class Balls(Table):
    """Balls and what each of them meets. ``x``, ``y`` and ``lie`` change as the ball is played."""

    round: Ints
    number: Ints
    """Number of the hole."""
    player: Ints
    x: Floats
    y: Floats
    lie: Codes
    green_x: Floats
    green_y: Floats
    """Centre of the green."""
    headwind: Floats
    """Miles an hour against the player; negative from behind."""
    crosswind: Floats
    """Miles an hour towards their right."""
    temperature: Floats
    form: Floats
    """The day's factor on every spread."""
    pick_up: Ints

    @property
    def distance(self) -> Floats:
        """Yards to the hole."""
        return np.hypot(self.x, self.y)


SHARES = np.array([share for _, share in CLUBS[:-1]])
"""Full length of each club but the putter, as a share of the drive."""


def skills_of(golfers: Sequence[Golfer]) -> Skills:
    return Skills(**{f.name: np.array([getattr(g, f.name) for g in golfers]) for f in fields(Skills)})


def tee_off(
    schedule: Schedule, courses: Sequence[Course], form_sd: float, rng: np.random.Generator
) -> tuple[Balls, Course]:
    """A ball on every tee to be played, in order of play, with the hole that each plays."""
    sizes = np.array([len(course) for course in courses])
    if np.any(schedule.first_hole + schedule.holes - 1 > sizes[schedule.tees]):
        raise ValueError("a round asks for more holes than its course has")
    round_ = np.repeat(np.arange(len(schedule)), schedule.holes)
    starts = np.concatenate([[0], np.cumsum(schedule.holes)[:-1]])
    number = np.arange(len(round_)) - starts[round_] + schedule.first_hole[round_]
    first_rows = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    holes = stack(courses).select(first_rows[schedule.tees[round_]] + number - 1)
    pin_distance = holes.green * 0.6 * np.sqrt(rng.random(len(round_)))
    pin_angle = rng.uniform(0.0, 2 * np.pi, len(round_))
    # Holes point every way: the direction of the wind for the player changes from hole to hole.
    wind_angle = rng.uniform(0.0, 2 * np.pi, len(schedule))[round_] + 2.4 * number
    balls = Balls(
        round=round_,
        number=number,
        player=schedule.player[round_],
        x=-holes.length,
        y=np.zeros(len(round_)),
        lie=np.full(len(round_), int(Lie.TEE), dtype=np.int8),
        green_x=pin_distance * np.cos(pin_angle),
        green_y=pin_distance * np.sin(pin_angle),
        headwind=schedule.wind_speed[round_] * np.cos(wind_angle),
        crosswind=schedule.wind_speed[round_] * np.sin(wind_angle),
        temperature=schedule.temperature[round_],
        form=np.exp(form_sd * rng.standard_normal(len(schedule)))[round_],
        pick_up=schedule.pick_up[round_],
    )
    return balls, holes


def stack(tables: Sequence[AnyTable]) -> AnyTable:
    """Tables of one kind, one below the other."""
    kind = type(tables[0])
    columns = {f.name: np.concatenate([getattr(table, f.name) for table in tables]) for f in fields(kind)}
    return kind(**columns)
