"""Putting under the day's conditions: raw, the part owed to the surface, and adjusted.

The part owed is what the day's disturbance costs the club's usual member from the same first-putt distances,
so a player is measured against members on the same greens. Raw strokes gained are never replaced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from golfstats.calc.figure import INTERVAL, Figure, mean_figure
from golfstats.calc.greens.disturbance import Recovery, Work, recovery_days, surface_disturbance
from golfstats.calc.greens.effect import MINIMUM_ROUNDS, STROKES, GreensEffect
from golfstats.calc.record import Floats, Ints


@dataclass(frozen=True)
class RoundPutting:
    """The greens of one round. Columns by hole that was putted on; ``disturbance`` is components × holes."""

    first_putt_ft: Floats
    putts: Ints
    benchmark_putts: Floats
    """Expected putts of the benchmark on undisturbed greens from these distances."""
    disturbance: Floats
    """From :func:`disturbance_by_component`."""

    @property
    def raw(self) -> float:
        """Putting strokes gained of the round."""
        return float(np.sum(self.benchmark_putts - self.putts))


@dataclass(frozen=True)
class AdjustedPutting:
    """Putting strokes gained a round three ways; ``adjusted`` = ``raw`` + ``owed``."""

    raw: Figure
    owed: Figure
    """Strokes a round lost to the surface; positive costs."""
    adjusted: Figure


def disturbance_by_component(
    effect: GreensEffect, works: Sequence[Work], day: Ints, hole: Ints, recovery: Recovery | None = None
) -> Floats:
    """Surface disturbance of (day, hole) queries under each component's recovery time, components × queries."""
    scales, row = np.unique(effect.components.scale, return_inverse=True)
    kinds = {work.kind for work in works}
    by_scale = [
        surface_disturbance(works, day, hole, {kind: scale * recovery_days(kind, recovery) for kind in kinds})
        for scale in scales.tolist()
    ]
    return np.stack(by_scale)[row]


def expected_putts_today(
    effect: GreensEffect, distance_ft: float, benchmark_putts: float, disturbance: Floats
) -> Figure:
    """Expected putts from one distance under the day's disturbance (one value a component)."""
    value, variance = effect.strokes_by_component(np.array([distance_ft]), np.ones(1), disturbance[:, None])
    extra = effect.figure(value, variance, "putts")
    return _moved(extra, benchmark_putts)


def adjust_round(effect: GreensEffect, played: RoundPutting) -> AdjustedPutting:
    """One round: raw is exact, the part owed and so the adjusted figure are not."""
    owed = effect.strokes(played.first_putt_ft, np.ones(len(played.putts)), played.disturbance)
    raw = Figure(played.raw, played.raw, played.raw, 1, 1, STROKES)
    return AdjustedPutting(raw, owed, _moved(owed, played.raw))


def adjust_window(effect: GreensEffect, rounds: Sequence[RoundPutting]) -> AdjustedPutting:
    """Means a round over a window; the adjusted interval adds the scatter of rounds to the effect's doubt."""
    raw = mean_figure(np.array([played.raw for played in rounds]), STROKES)
    if not rounds or not effect.enough:
        return AdjustedPutting(
            raw,
            Figure.too_few(effect.rounds, MINIMUM_ROUNDS, STROKES),
            Figure.too_few(effect.rounds, MINIMUM_ROUNDS, STROKES),
        )
    together = RoundPutting(
        np.concatenate([played.first_putt_ft for played in rounds]),
        np.concatenate([played.putts for played in rounds]),
        np.concatenate([played.benchmark_putts for played in rounds]),
        np.concatenate([played.disturbance for played in rounds], axis=1),
    )
    share = np.full(len(together.putts), 1 / len(rounds))
    value, variance = effect.strokes_by_component(together.first_putt_ft, share, together.disturbance)
    owed = effect.figure(value, variance, STROKES)
    adjusted = [played.raw + _usual_cost(effect, played) for played in rounds]
    return AdjustedPutting(raw, owed, _with_scatter(owed, np.array(adjusted), float(raw.value or 0.0)))


def _usual_cost(effect: GreensEffect, played: RoundPutting) -> float:
    """Posterior mean of what the surface cost in one round."""
    value, _ = effect.strokes_by_component(
        played.first_putt_ft, np.ones(len(played.putts)), played.disturbance
    )
    return float(np.sum(effect.components.weight * value))


def _with_scatter(owed: Figure, adjusted: Floats, raw: float) -> Figure:
    """Adjusted mean whose half widths add the rounds' scatter and the effect's doubt as independent errors."""
    n = len(adjusted)
    if n < 2 or owed.value is None or owed.low is None or owed.high is None:
        return Figure.too_few(n, 2, STROKES)
    scatter = float(stats.t.ppf(0.5 + INTERVAL / 2, n - 1) * np.std(adjusted, ddof=1) / np.sqrt(n))
    value = raw + owed.value
    low = value - float(np.hypot(scatter, owed.value - owed.low))
    high = value + float(np.hypot(scatter, owed.high - owed.value))
    return Figure(value, low, high, n, 2, STROKES)


def _moved(figure: Figure, by: float) -> Figure:
    """The figure plus a known number."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure
    return Figure(
        figure.value + by, figure.low + by, figure.high + by, figure.n, figure.minimum_n, figure.unit
    )
