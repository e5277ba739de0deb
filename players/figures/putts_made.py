"""The share of putts holed from a range of feet, as a figure like any other (``putting.made.3-5``)."""

from __future__ import annotations

from functools import partial

import numpy as np

from golfstats.calc.figures.approach import Band
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence

PREFIX = "putting.made."
MAKE_EDGES_FT = (0.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, np.inf)
"""Edges of the distance bins (our choice)."""


def made_spec(feet: Band) -> FigureSpec:
    """Putts from the band's lower edge to under its upper one, in feet."""
    return FigureSpec(
        f"{PREFIX}{feet.word}",
        _words(feet),
        Unit.SHARE,
        "higher",
        "shot",
        "mean",
        10,
        partial(_made, feet=feet),
        meaning="Of the putts from this distance, how many are holed.",
    )


def _words(feet: Band) -> Sentence:
    if np.isinf(feet.high):
        return Sentence("Putts holed from {low} feet and beyond", low=f"{feet.low:g}")
    return Sentence("Putts holed from {low} to {high} feet", low=f"{feet.low:g}", high=f"{feet.high:g}")


def _made(analysed: AnalysedRecord, feet: Band) -> Observations:
    shots = analysed.record.shots
    distance = FEET_PER_YARD * shots.distance
    rows = (shots.lie == Lie.GREEN) & (distance >= feet.low) & (distance < feet.high)
    return Observations.of_shots(analysed.record, shots.holed, rows)
