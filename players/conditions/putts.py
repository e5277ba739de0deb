"""A club's strokes from the green, as the effect model wants them: a fixed number of queries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import numpy as np

from courses import queries as courses
from courses.models import GreenWork
from golfstats.calc.greens.disturbance import days_since
from golfstats.calc.greens.putts import Putts
from golfstats.calc.record import Bools
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.models import Round, Shot


@dataclass(frozen=True)
class ClubPutts:
    """Putts, and the courses that their course numbers index into."""

    putts: Putts
    courses: Sequence[UUID]


def load_putts(time_zone: str) -> ClubPutts:
    """Every stroke from the green of the club in scope, with the green speed of its day where measured."""
    rounds = list(Round.objects.values_list("id", "player_id", "tee_set__course_id", "played_on"))
    row_of_round = {round_[0]: row for row, round_ in enumerate(rounds)}
    shots = list(
        Shot.objects.filter(lie=Lie.GREEN.word)
        .order_by("played_hole__round_id", "played_hole__number", "number")
        .values_list(
            "played_hole__round_id", "played_hole__number", "number", "distance", "holed", "played_hole_id"
        )
    )
    course_ids = sorted({round_[2] for round_ in rounds})
    course_number = {course: number for number, course in enumerate(course_ids)}
    player_number = {player: number for number, player in enumerate(sorted({round_[1] for round_ in rounds}))}
    speeds = courses.mean_speeds(time_zone)
    of_round = np.array([row_of_round[shot[0]] for shot in shots], dtype=np.int64)

    def by_round(values: list[Any], dtype: Any) -> Any:
        return np.array(values, dtype=dtype)[of_round] if len(shots) else np.zeros(0, dtype=dtype)

    hole = np.array([shot[1] for shot in shots], dtype=np.int64)
    number = np.array([shot[2] for shot in shots], dtype=np.int64)
    distance_ft = np.array([shot[3] for shot in shots], dtype=np.float64) * FEET_PER_YARD
    holed = np.array([shot[4] for shot in shots], dtype=np.bool_)
    same_hole: Bools = (of_round[1:] == of_round[:-1]) & (hole[1:] == hole[:-1])
    first = np.ones(len(shots), dtype=np.bool_)
    first[1:] = ~same_hole
    leave_ft = np.where(holed, 0.0, np.nan)
    next_is_putt = np.flatnonzero(same_hole & (number[1:] == number[:-1] + 1))
    leave_ft[next_is_putt] = distance_ft[next_is_putt + 1]
    rolled_off = np.flatnonzero(np.isnan(leave_ft)).tolist()
    leave_ft[rolled_off] = _distances_after([(shots[row][5], shots[row][2]) for row in rolled_off])
    putts = Putts(
        player=by_round([player_number[round_[1]] for round_ in rounds], np.int64),
        round=of_round,
        course=by_round([course_number[round_[2]] for round_ in rounds], np.int64),
        day=by_round([round_[3].toordinal() for round_ in rounds], np.int64),
        hole=hole,
        first=first,
        distance_ft=distance_ft,
        holed=holed,
        leave_ft=leave_ft,
        speed_ft=by_round([speeds.get((round_[2], round_[3]), np.nan) for round_ in rounds], np.float64),
    )
    return ClubPutts(putts, course_ids)


def _distances_after(putts: list[tuple[UUID, int]]) -> list[float]:
    """Feet to the hole after putts that no putt followed: they rolled off the green, or the hole was given up."""
    shots = Shot.objects.filter(played_hole_id__any_of=[hole for hole, _ in putts])
    distance = {
        (hole, number): yards
        for hole, number, yards in shots.values_list("played_hole_id", "number", "distance")
    }
    return [distance.get((hole, number + 1), np.nan) * FEET_PER_YARD for hole, number in putts]


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
