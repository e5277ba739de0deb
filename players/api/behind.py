"""One shot, hole or round behind a figure, as the API gives it."""

from __future__ import annotations

from typing import Any

import numpy as np

from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.vocabulary import UNKNOWN, Lie, Part
from golfstats.clubs.models import DistanceUnit
from players.api.figures import TO_METRES
from players.queries.analysed import Golf
from players.round_output import from_yards


def row_json(golf: Golf, spec: FigureSpec, observed: Observations, row: int, unit: str) -> dict[str, Any]:
    """The observation in this row with what it was: ``value`` is what it contributes to the figure."""
    round_row, hole, shot = int(observed.round[row]), int(observed.hole[row]), int(observed.shot[row])
    factor = TO_METRES.get(spec.unit, 1.0) if unit == DistanceUnit.METRES else 1.0
    return {
        "value": round(float(observed.value[row]) * factor, 4),
        "round": golf.loaded.round_ids[round_row],
        "played_on": golf.played_on(round_row),
        "course": golf.course_name(round_row),
        "hole": None if hole == UNKNOWN else _hole(golf, hole),
        "shot": None if shot == UNKNOWN else shot_json(golf, shot, unit),
    }


def _hole(golf: Golf, row: int) -> dict[str, Any]:
    holes = golf.analysed.record.holes
    return {
        "number": int(holes.number[row]),
        "par": _known(int(holes.par[row])),
        "score": int(holes.score[row]),
        "putts": _known(int(holes.putts[row])),
    }


def shot_json(golf: Golf, row: int, unit: str) -> dict[str, Any]:
    shots = golf.analysed.record.shots
    club, lie, lie_after = int(shots.club[row]), int(shots.lie[row]), int(shots.lie_after[row])
    gained = float(golf.analysed.strokes_gained[row])
    return {
        "id": golf.loaded.shot_ids[row],
        "number": int(shots.number[row]),
        "lie": Lie(lie).word,
        "distance": from_yards(float(shots.distance[row]), unit, on_green=lie == Lie.GREEN),
        "distance_unit": distance_unit(lie, unit),
        "club": golf.loaded.clubs[club] if club != UNKNOWN else None,
        "holed": bool(shots.holed[row]),
        "penalty_strokes": int(shots.penalty[row]),
        "finish_lie": Lie(lie_after).word if lie_after != UNKNOWN else None,
        "finish_distance": _finish(float(shots.distance_after[row]), lie_after, unit),
        "finish_unit": distance_unit(lie_after, unit),
        "part": Part(golf.analysed.part[row]).word,
        "strokes_gained": None if np.isnan(gained) else round(gained, 4),
    }


def distance_unit(lie: int, unit: str) -> str:
    """Metres, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return "m"
    return "ft" if lie == Lie.GREEN else "yd"


def _finish(yards: float, lie: int, unit: str) -> float | None:
    return None if np.isnan(yards) else from_yards(yards, unit, on_green=lie == Lie.GREEN)


def _known(value: int) -> int | None:
    return None if value == UNKNOWN else value
