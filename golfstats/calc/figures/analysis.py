"""A player's full analysis: every figure of the catalogue over one record, in one pass of array code."""

from __future__ import annotations

from collections.abc import Sequence

from golfstats.calc.figure import Figure
from golfstats.calc.figures import distances
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.catalogue import specs_without_clubs
from golfstats.calc.observations import AnalysedRecord


def analyse(analysed: AnalysedRecord, bands: Sequence[Band]) -> dict[str, Figure]:
    """Every figure by its key, "too few" ones included.

    Those are the figures of fixed name, of the given bands and of the clubs that occur in the record.
    """
    figures = {spec.key: spec.figure(spec.observe(analysed)) for spec in specs_without_clubs(bands)}
    for club in distances.clubs_in(analysed.record):
        figures |= distances.club_figures(analysed, club)
    return figures
