"""What players write down of a round that is fully known: everything, some holes, or scores alone."""

from __future__ import annotations

from dataclasses import replace
from enum import IntEnum

import numpy as np

from golfstats.calc.record import Codes, Floats, Ints, Record
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, Lie


class Detail(IntEnum):
    """How much of a round was written down."""

    SHOTS = 0
    """Every shot."""
    SOME_SHOTS = 1
    """Every shot of the odd-numbered holes, scores and putts of the others."""
    SCORES_AND_PUTTS = 2
    SCORES = 3
    """The score of each hole and nothing else."""


def report(record: Record, detail: Ints) -> Record:
    """The record as players would have written it, with one :class:`Detail` a round.

    Rounds and holes stay in their rows; shots that nobody wrote down are gone.
    """
    holes = record.holes
    of_hole = detail[holes.round]
    with_shots = (of_hole == Detail.SHOTS) | ((of_hole == Detail.SOME_SHOTS) & (holes.number % 2 == 1))
    scores_alone = of_hole == Detail.SCORES
    written = replace(
        holes,
        complete=holes.complete & with_shots,
        putts=np.where(scores_alone, UNKNOWN, holes.putts),
        penalties=np.where(with_shots, holes.penalties, UNKNOWN),
        fairway_hit=np.where(with_shots, holes.fairway_hit, UNKNOWN).astype(np.int8),
        green_in_regulation=np.where(scores_alone, UNKNOWN, holes.green_in_regulation).astype(np.int8),
    )
    return Record(record.rounds, written, record.shots.select(with_shots[record.shots.hole]))


def as_estimated(record: Record) -> Record:
    """The record with distances as a player gives them: whole feet on the green, whole yards elsewhere.

    Nothing is nearer than half a foot on the green or a yard elsewhere. Measured lengths are given to
    the yard as well.
    """
    shots = record.shots
    before = _estimate(shots.distance, shots.lie)
    after = _estimate(shots.distance_after, shots.lie_after)
    estimated = replace(
        shots,
        distance=before,
        distance_after=np.where(shots.holed, 0.0, after),
        target=np.round(shots.target),
        travel=np.maximum(np.round(shots.travel), 1.0),
        offline=np.round(shots.offline),
        wind_speed=np.round(shots.wind_speed),
    )
    return Record(record.rounds, record.holes, estimated)


def _estimate(yards: Floats, lie: Codes) -> Floats:
    feet = np.maximum(np.round(yards * FEET_PER_YARD), 0.5)
    return np.where(lie == Lie.GREEN, feet / FEET_PER_YARD, np.maximum(np.round(yards), 1.0))
