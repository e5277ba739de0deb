"""What else moves a round here: first visits, breaks, weather, time of day, competition."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from golfstats.calc.a_round import a_round
from golfstats.calc.greens.context import ContextEffect, context_effects
from golfstats.calc.record import Floats, Rounds
from players.rounds.models import Round

_COLUMNS = (
    "player_id",
    "played_on",
    "tee_set__course_id",
    "counting",
    "competition",
    "start_time",
    "temperature_c",
    "wind_mph",
    "figures__total",
    "figures__holes_covered",
    "figures__surface_strokes",
)
LEAST_HOLES = 9
"""Rounds with fewer holes recorded shot by shot say too little of a round."""


def fit_contexts() -> list[ContextEffect]:
    """Effects over all rounds of the club in scope. One query.

    A round's residual is its strokes lost a round of 18 holes against the club's benchmark, without the part
    that the surface of the greens accounts for.
    """
    rows = list(Round.objects.order_by("played_on", "start_time", "id").values_list(*_COLUMNS))
    players = {player: number for number, player in enumerate(sorted({row[0] for row in rows}))}
    courses = {course: number for number, course in enumerate(sorted({row[2] for row in rows}))}
    rounds = Rounds(
        player=np.array([players[row[0]] for row in rows], dtype=np.int64),
        day=np.array([row[1].toordinal() for row in rows], dtype=np.int64),
        course=np.array([courses[row[2]] for row in rows], dtype=np.int64),
        counting=np.array([row[3] for row in rows], dtype=np.bool_),
        competition=np.array([row[4] for row in rows], dtype=np.bool_),
        start_hour=_floats([None if row[5] is None else row[5].hour + row[5].minute / 60 for row in rows]),
        temperature=_floats([row[6] for row in rows]),
        wind_speed=_floats([row[7] for row in rows]),
    )
    residual = [_residual(total, holes, surface) for *_, total, holes, surface in rows]
    return context_effects(rounds, _floats(residual))


def _residual(total: float | None, holes: int | None, surface: float | None) -> float | None:
    if total is None or holes is None or holes < LEAST_HOLES:
        return None
    return float(a_round((surface or 0.0) - total, holes))


def _floats(values: Sequence[float | None]) -> Floats:
    return np.array([np.nan if value is None else value for value in values], dtype=np.float64)
