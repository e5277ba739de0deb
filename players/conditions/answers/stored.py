"""The surface of rounds as the worker stored it, for answers about many rounds."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

import numpy as np

from golfstats.calc.record import Floats
from players.figures.models import RoundFigures

_COLUMNS = ("surface_disturbance", "surface_strokes", "surface_low", "surface_high")


def stored_surfaces(rounds: Sequence[UUID]) -> list[Floats]:
    """Columns by round: disturbance (NaN: temporary greens; 0 where the round is not analysed yet), then strokes gained
    by the surface with the ends of their interval (NaN where too little is known). One query.
    """
    analysed = RoundFigures.objects.filter(round_id__any_of=list(rounds)).values_list("round_id", *_COLUMNS)
    stored = {round_id: columns for round_id, *columns in analysed}
    not_analysed = [0.0, None, None, None]
    rows = [stored.get(round_id, not_analysed) for round_id in rounds]
    return list(np.array(rows, dtype=np.float64).reshape(len(rows), len(_COLUMNS)).T)
