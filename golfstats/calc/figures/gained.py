"""Strokes gained in all and by part of the game, as 18-hole equivalents over the holes covered."""

from __future__ import annotations

from functools import partial

import numpy as np

from golfstats.calc.a_round import ROUND
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.strokes.parts import whole_holes
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Part

WORDS = {
    Part.TEE: "Strokes gained off the tee a round",
    Part.APPROACH: "Strokes gained on approach a round",
    Part.SHORT_GAME: "Strokes gained in the short game a round",
    Part.PUTTING: "Strokes gained putting a round",
}


AGAINST = "Zero is the golfer compared with."
MEANINGS = {
    Part.TEE: "Strokes that the tee shots on holes of par 4 and 5 gained or lost in 18 holes.",
    Part.APPROACH: "Strokes that longer shots after the drive, and tee shots on par 3, gained or lost in 18 holes.",
    Part.SHORT_GAME: "Strokes that shots from within the club's short-game distance gained or lost in 18 holes.",
    Part.PUTTING: "Strokes that the putts gained or lost in 18 holes, greens as they were.",
}


def gained_a_round(analysed: AnalysedRecord, part: Part | None = None) -> Observations:
    """18 times the strokes gained on each covered hole, by one part or all; ``n`` of the figure is holes.

    The parts of a hole add up to its total, and so do their figures.
    """
    shots, holes = analysed.record.shots, analysed.record.holes
    counted = np.full(len(shots), True) if part is None else analysed.part == part
    values = np.where(counted, np.nan_to_num(analysed.strokes_gained), 0.0)
    total = np.bincount(shots.hole, weights=values, minlength=len(holes))
    whole = whole_holes(analysed.record, analysed.strokes_gained)
    return Observations.of_holes(analysed.record, ROUND * total, whole, holes.picked_up)


SPECS = [
    FigureSpec(
        "gained.total",
        "Strokes gained a round",
        Unit.STROKES,
        "higher",
        "hole",
        "mean",
        ROUND,
        gained_a_round,
        meaning="Expected strokes from where each shot was played, less those from where it finished and the "
        f"stroke itself, summed over 18 holes. {AGAINST}",
        apart=ROUND,
    ),
    *(
        FigureSpec(
            f"gained.{part.word}",
            words,
            Unit.STROKES,
            "higher",
            "hole",
            "mean",
            ROUND,
            partial(gained_a_round, part=part),
            meaning=f"{MEANINGS[part]} {AGAINST}",
            apart=ROUND,
        )
        for part, words in WORDS.items()
    ),
]
