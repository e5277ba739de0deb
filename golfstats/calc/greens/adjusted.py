"""Putting under the day's conditions: raw, the part owed to the surface, and adjusted.

The part owed is what the day's greens cost the club's usual member from the same first-putt distances, so a player
is measured against members on the same greens. Raw strokes gained are never replaced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.a_round import figure_a_round, rounds_of_18
from golfstats.calc.figure import Figure
from golfstats.calc.greens.effect.posterior import MINIMUM_ROUNDS, SIZE_SD, STROKES, GreensEffect
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit


@dataclass(frozen=True)
class RoundPutting:
    """The greens of one round. Columns by hole that was putted on."""

    first_putt_ft: Floats
    putts: Ints
    benchmark_putts: Floats
    """Expected putts of the benchmark on undisturbed greens from these distances."""
    surface: Floats
    """Loadings of the cost of a round of such greens, holes × coefficients: :meth:`GreensEffect.of_greens`."""
    known: bool = True
    """Whether the club has seen enough rounds after such work on this course (:meth:`GreensEffect.knows`)."""

    @property
    def raw(self) -> float:
        """Putting strokes gained of the round."""
        return float(np.sum(self.benchmark_putts - self.putts))

    @property
    def disturbed(self) -> bool:
        return bool(np.any(self.surface))


@dataclass(frozen=True)
class AdjustedPutting:
    """Putting strokes gained a round three ways; ``adjusted`` = ``raw`` + ``owed``."""

    raw: Figure
    owed: Figure
    """Strokes a round lost to the surface; positive costs."""
    adjusted: Figure


def owed_loading(effect: GreensEffect, played: RoundPutting) -> Floats:
    """Loading of the strokes that the surface cost in one round."""
    loading: Floats = effect.shares(played.first_putt_ft) @ played.surface
    return loading


def expected_putts_today(
    effect: GreensEffect, distance_ft: float, benchmark_putts: float, surface: Floats
) -> Figure:
    """Expected putts from one distance on greens of one day (a loading of the cost of a round)."""
    share = float(effect.shares(np.array([distance_ft]))[0])
    return _moved(effect.strokes(share * surface, Unit.PUTTS, SIZE_SD * share), benchmark_putts)


def adjust_round(effect: GreensEffect, played: RoundPutting) -> AdjustedPutting:
    """One round: raw is exact, the part owed and so the adjusted figure are not. Neither is given where what such work
    costs on that course is not known: what it costs at home is no measure of it.
    """
    raw = Figure(played.raw, played.raw, played.raw, 1, 1, STROKES)
    if not played.disturbed:
        return AdjustedPutting(raw, Figure(0.0, 0.0, 0.0, 1, 1, STROKES), raw)
    if not played.known:
        too_few = Figure.too_few(0, MINIMUM_ROUNDS, STROKES)
        return AdjustedPutting(raw, too_few, too_few)
    owed = effect.strokes(owed_loading(effect, played))
    return AdjustedPutting(raw, owed, _moved(owed, played.raw))


def adjust_window(effect: GreensEffect, rounds: Sequence[RoundPutting]) -> AdjustedPutting:
    """Means a round of 18 holes; the adjusted interval adds the scatter of rounds to the doubt of the effect."""
    holes = np.array([len(played.putts) for played in rounds], dtype=np.int64)
    totals = np.array([played.raw for played in rounds])
    raw = _over_rounds(totals, holes)
    if rounds and not any(played.disturbed for played in rounds):
        return AdjustedPutting(raw, Figure(0.0, 0.0, 0.0, len(rounds), 1, STROKES), raw)
    too_few = Figure.too_few(effect.rounds, MINIMUM_ROUNDS, STROKES)
    if not rounds:
        return AdjustedPutting(raw, too_few, too_few)
    loadings = _loadings(effect, rounds)
    owed = effect.strokes(loadings.sum(axis=0) / rounds_of_18(holes))
    scatter = _over_rounds(totals + loadings @ effect.mean, holes)
    return AdjustedPutting(raw, owed, _with_scatter(owed, scatter, raw))


def _over_rounds(totals: Floats, holes: Ints) -> Figure:
    """Mean a round; ``n`` counts rounds, of nine holes or eighteen."""
    return replace(figure_a_round(totals, holes, STROKES, 1), n=len(totals), minimum_n=2)


def _loadings(effect: GreensEffect, rounds: Sequence[RoundPutting]) -> Floats:
    none = np.zeros((0, len(effect.mean)))
    return np.vstack([none, *[owed_loading(effect, played)[None, :] for played in rounds]])


def _with_scatter(owed: Figure, adjusted: Figure, raw: Figure) -> Figure:
    """Adjusted mean whose half widths add the rounds' scatter and the effect's doubt as independent errors."""
    if (
        raw.value is None
        or adjusted.value is None
        or adjusted.low is None
        or owed.value is None
        or owed.low is None
        or owed.high is None
    ):
        return Figure.too_few(raw.n, 2, STROKES)
    scatter = adjusted.value - adjusted.low
    value = raw.value + owed.value
    low = value - float(np.hypot(scatter, owed.value - owed.low))
    high = value + float(np.hypot(scatter, owed.high - owed.value))
    return Figure(value, low, high, raw.n, 2, STROKES)


def _moved(figure: Figure, by: float) -> Figure:
    """The figure plus a known number."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure
    return Figure(
        figure.value + by, figure.low + by, figure.high + by, figure.n, figure.minimum_n, figure.unit
    )
