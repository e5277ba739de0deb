"""A club's strokes from the green, as the effect model wants them: a fixed number of queries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from courses.greens import condition as courses
from courses.greens.models import GreenWork
from golfstats.calc.greens.effect.putts import Putts, putts_of
from golfstats.calc.greens.surface.disturbance import days_since
from golfstats.calc.record import Floats
from players.figures.models import RoundFigures
from players.golf.bare import load_bare

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
    golf = load_bare()
    rounds, speeds = golf.record.rounds, courses.mean_speeds(time_zone)
    on_days = zip(rounds.course.tolist(), rounds.day.tolist(), strict=True)
    speed_ft = [speeds.get((golf.courses[course], date.fromordinal(day)), np.nan) for course, day in on_days]
    return ClubPutts(
        putts_of(golf.record, np.array(speed_ft, dtype=np.float64)), golf.round_ids, golf.courses
    )


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
