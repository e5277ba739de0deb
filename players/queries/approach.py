"""Shots at the green by distance band, each figure with how it changed over the window."""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, Series, change_between, fit_trend
from golfstats.calc.figure import Figure
from golfstats.calc.figures import approach
from golfstats.calc.figures.approach import Band
from golfstats.calc.observations import FigureSpec, Observations
from players.queries.analysed import Golf
from players.queries.figures import NamedFigure

HITS_AND_MISSES = 5
"""A share moves by a round's luck alone where it has fewer of either (common practice)."""


@dataclass(frozen=True)
class Trended:
    named: NamedFigure
    change: Figure | None
    """Level at the last round of the window less that at the first; ``n`` is rounds."""
    chance_better: float | None
    no_change: str = ""
    """Why there is no change to tell, in words."""


@dataclass(frozen=True)
class BandFigures:
    band: Band
    figures: list[Trended]


def approach_bands(golf: Golf) -> list[BandFigures]:
    return [BandFigures(band, [trended(golf, spec) for spec in approach.specs(band)]) for band in golf.bands]


def trended(golf: Golf, spec: FigureSpec) -> Trended:
    """The figure, how its level moved from the first round to the last, and the chance that it got better.

    More or fewer shots from a distance are neither better nor worse: no chance is given.
    """
    observed = spec.observe(golf.analysed)
    named = NamedFigure(spec, spec.figure(observed))
    if spec.unit == "share" and _fewer_of_either(observed) < HITS_AND_MISSES:
        return Trended(named, None, None, f"too few for a trend: fewer than {HITS_AND_MISSES} hits or misses")
    days = Series.of(observed, golf.analysed.record.rounds.day, median=spec.statistic == "median")
    if len(days) < MINIMUM_ROUNDS:
        words = f"too few for a trend: {len(days)} of at least {MINIMUM_ROUNDS} rounds"
        return Trended(named, None, None, words)
    trend = fit_trend(days)
    change = change_between(trend, float(days.day[0]), float(days.day[-1])) if trend else None
    if change is None:
        return Trended(named, None, None, "no change: every round is alike, or all were played on one day")
    figure = change.figure(len(days), spec.unit, MINIMUM_ROUNDS)
    chance = None if spec.key.endswith(".shots") else change.chance_better_than(0.0, spec.better)
    return Trended(named, figure, chance)


def _fewer_of_either(observed: Observations) -> int:
    hits = int(observed.value.sum())
    return min(hits, len(observed) - hits)
