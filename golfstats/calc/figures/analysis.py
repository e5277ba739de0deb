"""A player's full analysis: every figure of the catalogue over one record, in one pass of array code."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.figures import approach, distances, gained, misses, scoring
from golfstats.calc.figures.approach import Band
from golfstats.calc.observations import AnalysedRecord, FigureSpec
from golfstats.calc.vocabulary import UNKNOWN


def specs_for(analysed: AnalysedRecord, bands: Sequence[Band]) -> list[FigureSpec]:
    """The fixed figures, those of the given bands and those of the clubs that occur in the record."""
    clubs = np.unique(analysed.record.shots.club)
    return [
        *scoring.SPECS,
        *gained.SPECS,
        *(spec for band in bands for spec in approach.specs(band)),
        *misses.SPECS,
        *(spec for club in clubs[clubs != UNKNOWN] for spec in distances.specs(int(club))),
    ]


def analyse(analysed: AnalysedRecord, bands: Sequence[Band]) -> dict[str, Figure]:
    """Every figure by its key, "too few" ones included."""
    return {spec.key: spec.figure(spec.observe(analysed)) for spec in specs_for(analysed, bands)}
