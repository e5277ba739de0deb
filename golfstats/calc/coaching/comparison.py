"""Two players (or a player and their earlier self) on one figure, and a squad's leader table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy import stats

from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import INTERVAL, NORMAL_QUANTILE, Figure, alike, difference_figure, never_certain
from golfstats.calc.record import Floats

CLEARLY = 0.95
"""A player is clearly better when the chance of it is 95%: then the 90% interval leaves zero out."""

_MEMORIES = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.75])
_USUAL = np.array([0.25, 0.2, 0.2, 0.15, 0.12, 0.08])
"""How like neighbouring rounds may be (autocorrelation), and what we think of it before any was seen (our choice)."""


def allowing_for_form(figure: Figure, by_round: Floats) -> Figure:
    """The figure as evidence of how good a player is: wider, as far as form lasts from one round to the next.

    ``by_round``: its values by round, in order of play. The interval of a figure takes rounds as independent; a
    mean of rounds that remember the one before (a first-order autoregression) varies more. How much they do is averaged
    over what the rounds leave open.
    """
    n = len(by_round)
    if figure.value is None or figure.low is None or figure.high is None or n < 2:
        return figure
    apart = np.abs(np.subtract.outer(np.arange(n), np.arange(n)))
    factors = np.array([np.mean(memory**apart) * n for memory in _MEMORIES])
    wider = math.sqrt(float(_chances_of_memories(by_round) @ factors))
    low, high = (figure.value + wider * (end - figure.value) for end in (figure.low, figure.high))
    return replace(figure, low=low, high=high)


def _chances_of_memories(by_round: Floats) -> Floats:
    """Of each memory, given the rounds: level and spread integrated out (flat and Jeffreys' priors)."""
    n = len(by_round)
    if n < 3 or alike(by_round):
        return _USUAL
    log_chance = np.log(_USUAL)
    for place, memory in enumerate(_MEMORIES):
        fresh = by_round[1:] - memory * by_round[:-1]
        first = math.sqrt(1 - memory**2)
        ones = np.concatenate([[first], np.full(n - 1, 1 - memory)])
        values = np.concatenate([[first * by_round[0]], fresh])
        level = float(ones @ values / (ones @ ones))
        rest = float(np.sum((values - level * ones) ** 2))
        log_chance[place] += math.log(first) - 0.5 * math.log(ones @ ones) - 0.5 * (n - 1) * math.log(rest)
    chance = np.exp(log_chance - log_chance.max())
    return np.asarray(chance / chance.sum())


@dataclass(frozen=True)
class Comparison:
    first: Figure
    second: Figure
    difference: Figure
    """First minus second."""
    chance_first_better: float | None


def compare_figures(first: Figure, second: Figure, better: Better) -> Comparison:
    """Compare two independent figures, each :func:`allowing_for_form` where players are judged by them.

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
    ratio = _ratio(difference)
    return None if ratio is None else never_certain(float(stats.norm.cdf(ratio)))


def _ratio(difference: Figure) -> float | None:
    """The difference in units of its standard error, by the side of its interval that looks towards zero."""
    value, low, high = difference.value, difference.low, difference.high
    if value is None or low is None or high is None:
        return None
    half_width = value - low if value > 0 else high - value
    if half_width <= 0:
        return None  # a number without a width is no sample's
    return NORMAL_QUANTILE * value / half_width


@dataclass(frozen=True)
class Standing:
    """A line of a leader table. ``rank`` is ``None`` for a player with too few observations."""

    player: int
    """Place of the player's figure in the sequence that was given."""
    rank: int | None
    tied: bool


def leader_table(figures: Sequence[Figure], better: Better) -> list[Standing]:
    """Order of the players, best first, with the ties that the sample leaves.

    A player's rank is one more than the number of players who are clearly better; so
    players whom the rounds cannot tell apart share a rank. Within a rank the value decides the
    order of the lines, and the given order where that is equal. Too few comes last.

    A table makes many comparisons at once: of eight equal players somebody looks clearly better than somebody else in
    every second table if each pair is judged by itself. Clearly better is therefore what all pairs of so many
    equal players together show in one table of ten (:func:`_clear_of`); of two players it is :data:`CLEARLY`.
    """
    sign = -1 if better == "higher" else 1
    enough = [figure for figure in figures if figure.enough]
    clear = _clear_of(max(len(enough), 2))
    ranks = [_rank(figure, enough, better, clear) if figure.enough else None for figure in figures]
    order = sorted(
        range(len(figures)),
        key=lambda player: (ranks[player] or math.inf, sign * (figures[player].value or 0.0), player),
    )
    return [
        Standing(
            player,
            ranks[player],
            ranks[player] is not None and ranks.count(ranks[player]) > 1,
        )
        for player in order
    ]


def _rank(figure: Figure, figures: Sequence[Figure], better: Better, clear: float) -> int:
    sign = 1 if better == "higher" else -1
    ahead = [_ratio(difference_figure(other, figure)) for other in figures]
    return 1 + sum(ratio is not None and sign * ratio >= clear for ratio in ahead)


@lru_cache
def _clear_of(players: int) -> float:
    """Standard errors of a difference beyond which it is clear among so many players.

    The largest difference of any two of them, none being better than another, lies beyond in a tenth of all tables:
    Tukey's studentised range, which errs to the safe side where some have played more than others (Hayter 1984; both
    from memory).
    """
    return float(stats.studentized_range.ppf(INTERVAL, players, np.inf)) / math.sqrt(2)
