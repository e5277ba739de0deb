"""Putting with and without the surface: the calculation, and what it cannot know: on undisturbed greens
nothing is owed, however little is known of the effect.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting, RoundPutting, adjust_round, adjust_window
from golfstats.calc.greens.effect import STROKES, GreensEffect


def adjust(effect: GreensEffect, played: RoundPutting) -> AdjustedPutting:
    """One round's putting: raw, owed to the surface (positive costs), adjusted."""
    if np.any(played.disturbance):
        return adjust_round(effect, played)
    return _nothing_owed(Figure(played.raw, played.raw, played.raw, 1, 1, STROKES), 1)


def adjust_rounds(effect: GreensEffect, rounds: Sequence[RoundPutting]) -> AdjustedPutting:
    """Means a round over some rounds."""
    putting = adjust_window(effect, rounds)
    disturbed = any(np.any(played.disturbance) for played in rounds)
    return putting if disturbed or not rounds else _nothing_owed(putting.raw, len(rounds))


def _nothing_owed(raw: Figure, rounds: int) -> AdjustedPutting:
    return AdjustedPutting(raw, Figure(0.0, 0.0, 0.0, rounds, 1, STROKES), raw)
