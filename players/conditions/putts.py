"""A club's strokes from the green, as the effect model wants them: a fixed number of queries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import numpy as np

from courses.greens import condition as courses
from courses.greens.models import GreenWork
from golfstats.calc.greens.effect.putts import Putts
from golfstats.calc.greens.surface.disturbance import days_since
from golfstats.calc.record import Bools, Floats
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.figures.models import RoundFigures
from players.rounds.models import Round, Shot

LEAST_HOLES = 9
"""Rounds with fewer holes recorded shot by shot say too little of the golf before the green."""


@dataclass(frozen=True)
class ClubPutts:
    """Putts, and the rounds and courses that their numbers index into."""

    putts: Putts
    rounds: Sequence[UUID]
    courses: Sequence[UUID]


def load_putts(time_zone: str) -> ClubPutts:
    """Every stroke from the green of the club in scope, with the green speed of its day where measured."""
    # In one order, so that the same golf is summed alike and says the same to the last digit.
    rows = Round.objects.order_by("id").values_list("id", "player_id", "tee_set__course_id", "played_on")
    rounds = list(rows)
    row_of_round = {round_[0]: row for row, round_ in enumerate(rounds)}
    shots = list(
        Shot.objects.filter(lie=Lie.GREEN.word)
        .order_by("played_hole__round_id", "played_hole__number", "number")
        .values_list("played_hole__round_id", "played_hole__number", "distance", "holed")
    )
    course_ids = sorted({round_[2] for round_ in rounds})
    course_number = {course: number for number, course in enumerate(course_ids)}
    player_number = {player: number for number, player in enumerate(sorted({round_[1] for round_ in rounds}))}
    speeds = courses.mean_speeds(time_zone)
    of_round = np.array([row_of_round[shot[0]] for shot in shots], dtype=np.int64)

    def by_round(values: list[Any], dtype: Any) -> Any:
        return np.array(values, dtype=dtype)[of_round] if len(shots) else np.zeros(0, dtype=dtype)

    hole = np.array([shot[1] for shot in shots], dtype=np.int64)
    distance_ft = np.array([shot[2] for shot in shots], dtype=np.float64) * FEET_PER_YARD
    holed = np.array([shot[3] for shot in shots], dtype=np.bool_)
    same_hole: Bools = (of_round[1:] == of_round[:-1]) & (hole[1:] == hole[:-1])
    first = np.ones(len(shots), dtype=np.bool_)
    first[1:] = ~same_hole
    putts = Putts(
        player=by_round([player_number[round_[1]] for round_ in rounds], np.int64),
        round=of_round,
        course=by_round([course_number[round_[2]] for round_ in rounds], np.int64),
        day=by_round([round_[3].toordinal() for round_ in rounds], np.int64),
        hole=hole,
        first=first,
        distance_ft=distance_ft,
        holed=holed,
        speed_ft=by_round([speeds.get((round_[2], round_[3]), np.nan) for round_ in rounds], np.float64),
    )
    return ClubPutts(putts, [round_[0] for round_ in rounds], course_ids)


def tee_to_green(rounds: Sequence[UUID]) -> Floats:
    """Strokes that each of these rounds lost before the green over 18 holes; NaN where few holes tell. One query."""
    rows = RoundFigures.objects.filter(
        holes_covered__gte=LEAST_HOLES, tee__isnull=False, approach__isnull=False, short_game__isnull=False
    ).values_list("round_id", "holes_covered", "tee", "approach", "short_game")
    lost = {
        round_id: -sum(part for part in parts if part is not None) * 18 / holes
        for round_id, holes, *parts in rows
    }
    return np.array([lost.get(round_id, np.nan) for round_id in rounds], dtype=np.float64)


def without_temporary_greens(loaded: ClubPutts, work: dict[UUID, list[GreenWork]]) -> Putts:
    """The putts without those on temporary greens, which say nothing about the greens."""
    putts = loaded.putts
    keep = np.ones(len(putts), dtype=np.bool_)
    for number, course in enumerate(loaded.courses):
        here = np.flatnonzero(putts.course == number)
        for row in work.get(course, []):
            if row.temporary_greens:
                during = days_since([courses.work_of(row)], putts.day[here], putts.hole[here])[:, 0] == 0
                keep[here] &= ~during
    return putts.select(keep)
