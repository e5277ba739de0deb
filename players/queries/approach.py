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


@dataclass(frozen=True)
class Trended:
    named: NamedFigure
    change: Figure
    """Level at the last round of the window less that at the first; ``n`` is rounds."""
    chance_better: float | None


@dataclass(frozen=True)
class BandFigures:
    band: Band
    figures: list[Trended]


def approach_bands(golf: Golf) -> list[BandFigures]:
    return [BandFigures(band, [_trended(golf, spec) for spec in approach.specs(band)]) for band in golf.bands]


def _trended(golf: Golf, spec: FigureSpec) -> Trended:
    observed = spec.observe(golf.analysed)
    change, chance = change_over_window(golf, spec, observed)
    return Trended(NamedFigure(spec, spec.figure(observed)), change, chance)


def change_over_window(golf: Golf, spec: FigureSpec, observed: Observations) -> tuple[Figure, float | None]:
    """How the figure's level moved from the first round to the last, and the chance that it got better.

    More or fewer shots from a distance are neither better nor worse: no chance is given.
    """
    days = Series.of(observed, golf.analysed.record.rounds.day, median=spec.statistic == "median")
    trend = fit_trend(days)
    change = change_between(trend, float(days.day[0]), float(days.day[-1])) if trend else None
    if change is None:
        return Figure.too_few(len(days), MINIMUM_ROUNDS, spec.unit), None
    chance = None if spec.key.endswith(".shots") else change.chance_better_than(0.0, spec.better)
    return change.figure(len(days), spec.unit, MINIMUM_ROUNDS), chance
