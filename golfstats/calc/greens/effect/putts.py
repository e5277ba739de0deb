"""The putts of a club, as the model of what green work costs wants them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Bools, Floats, Ints, Record, Table
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

EDGES_FT = np.array([2, 3, 4, 5, 6, 7.5, 9.5, 12, 15, 19, 25, 33, 45, 65, 100], dtype=np.float64)
"""Distance bins over which the usual round's first putts are counted; from less than 2 ft the surface costs nothing."""
LONGEST_HEALING = 3.0
"""Work counts as healed for certain after this many times its default recovery days."""


@dataclass(frozen=True)
class Putts(Table):
    """Putts of all players of a club. Equally long columns."""

    player: Ints
    round: Ints
    course: Ints
    day: Ints
    hole: Ints
    """Hole number on the course."""
    first: Bools
    """First putt of its hole."""
    distance_ft: Floats
    holed: Bools
    speed_ft: Floats
    """Stimpmeter speed of the course that day; NaN where not measured."""


def putts_of(record: Record, speed_by_round_ft: Floats | None = None) -> Putts:
    """The strokes from the green of a record, with the green speed of each round where it was measured."""
    shots, rounds = record.shots, record.rounds
    putts = np.flatnonzero(shots.lie == Lie.GREEN)
    of_round, hole = shots.round[putts], shots.hole[putts]
    speed = np.full(len(rounds), np.nan) if speed_by_round_ft is None else speed_by_round_ft
    new_hole = np.ones(len(putts), dtype=np.bool_)
    new_hole[1:] = hole[1:] != hole[:-1]
    return Putts(
        player=rounds.player[of_round],
        round=of_round,
        course=rounds.course[of_round],
        day=rounds.day[of_round],
        hole=record.holes.number[hole],
        first=new_hole,
        distance_ft=shots.distance[putts] * FEET_PER_YARD,
        holed=shots.holed[putts],
        speed_ft=speed[of_round],
    )
