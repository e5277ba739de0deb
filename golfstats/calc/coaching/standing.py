"""How a player stands, where the greens of the last rounds let it be told."""

from __future__ import annotations

import numpy as np

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, Trend, level_on
from golfstats.calc.figure import Figure
from golfstats.calc.units import Unit

LATELY = 5
"""Rounds that "the last rounds" are."""
HEALING_DAYS = 45.0
"""Rounds on greens of one healing lie within so many days."""
APART = 1.0
"""Standard deviations by which the rounds on healing greens may differ from the others and still be put down to what
is not known of the greens (our choice, tried in the worlds: a player who improves just then passes it)."""


def player_or_greens(series: Series) -> bool:
    """Whether nobody can tell how a player stands: most of the last rounds were on healing greens, and differ from the
    others, with what the greens cost taken off, by more than luck. Either the player has changed or the greens cost
    them other than the usual member.
    """
    if series.doubt is None or np.sum(series.doubt[-LATELY:] > 0) <= LATELY / 2:
        return False
    healing = (series.doubt > 0) & (series.day > series.day[-1] - HEALING_DAYS)
    others = series.value[series.doubt == 0]
    if len(others) < 2:
        return True
    luck = float(np.std(others, ddof=1)) * np.sqrt(1 / np.sum(healing) + 1 / len(others))
    apart = float(np.mean(series.value[healing]) - np.mean(others))
    return bool(abs(apart) > APART * np.hypot(luck, np.mean(series.doubt[healing])))


def level_figure(trend: Trend | None, day: float, unit: Unit, n: int) -> Figure:
    """The level on a day as a figure; ``n`` rounds if there is no trend.

    "Too few" where the last rounds cannot tell the player from the greens.
    """
    belief = level_on(trend, day) if trend else None
    if trend is None or belief is None or player_or_greens(trend.series):
        return Figure.too_few(n, MINIMUM_ROUNDS, unit)
    return belief.figure(len(trend.series), unit, MINIMUM_ROUNDS)
