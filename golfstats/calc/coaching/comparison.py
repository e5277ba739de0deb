"""Two players (or a player and their earlier self) on one figure, and a squad's leader table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import stats

from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import NORMAL_QUANTILE, Figure, difference_figure

CLEARLY = 0.95
"""A player is clearly better when the chance of it is 95%: then the 90% interval leaves zero out."""


@dataclass(frozen=True)
class Comparison:
    first: Figure
    second: Figure
    difference: Figure
    """First minus second."""
    chance_first_better: float | None


def compare_figures(first: Figure, second: Figure, better: Better) -> Comparison:
    """Compare two independent figures.

    The interval of the difference is built from the two figures' own intervals
    (:func:`~golfstats.calc.figure.difference_figure`), so it serves means, medians and shares alike;
    the chance comes from the side of that interval that looks towards zero.
    """
    difference = difference_figure(first, second)
    higher = _chance_positive(difference)
    if higher is None:
        return Comparison(first, second, difference, None)
    return Comparison(first, second, difference, higher if better == "higher" else 1 - higher)


def _chance_positive(difference: Figure) -> float | None:
    value, low, high = difference.value, difference.low, difference.high
    if value is None or low is None or high is None:
        return None
    half_width = value - low if value > 0 else high - value
    if half_width == 0:
        return 0.5 if value == 0 else float(value > 0)
    return float(stats.norm.cdf(NORMAL_QUANTILE * value / half_width))


@dataclass(frozen=True)
class Standing:
    """A line of a leader table. ``rank`` is ``None`` for a player with too few observations."""

    player: int
    """Place of the player's figure in the sequence that was given."""
    rank: int | None
    tied: bool
    figure: Figure


def leader_table(figures: Sequence[Figure], better: Better) -> list[Standing]:
    """Order of the players, best first, with the ties that the sample leaves.

    A player's rank is one more than the number of players who are clearly better; so
    players whom the rounds cannot tell apart share a rank. Within a rank the value decides the
    order of the lines, and the given order where that is equal. Too few comes last.
    """
    sign = -1 if better == "higher" else 1
    ranks = [_rank(figure, figures, better) for figure in figures]
    order = sorted(
        range(len(figures)),
        key=lambda player: (ranks[player] or math.inf, sign * (figures[player].value or 0.0), player),
    )
    return [
        Standing(
            player,
            ranks[player],
            ranks[player] is not None and ranks.count(ranks[player]) > 1,
            figures[player],
        )
        for player in order
    ]


def _rank(figure: Figure, figures: Sequence[Figure], better: Better) -> int | None:
    if not figure.enough:
        return None
    chances = [compare_figures(other, figure, better).chance_first_better for other in figures]
    return 1 + sum(chance is not None and chance >= CLEARLY for chance in chances)
