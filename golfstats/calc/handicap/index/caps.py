"""Low Handicap Index (Rule 5.7), soft and hard cap (Rule 5.8)."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.rounding import round_tenth

SOFT_CAP_FROM = Decimal("3.0")
HARD_CAP_AT = Decimal("5.0")
SCORES_FOR_LOW_INDEX = 20


@dataclass(frozen=True)
class Capped:
    index: Decimal
    soft: bool
    hard: bool


def cap(average: Decimal, low_index: Decimal | None) -> Capped:
    """Rule 5.8 on the rounded average. A rise of exactly 3.0 is not capped; there is no limit downward."""
    if low_index is None or average - low_index <= SOFT_CAP_FROM:
        return Capped(average, soft=False, hard=False)
    soft = Fraction(average + low_index + SOFT_CAP_FROM) / 2  # low + 3.0 + (average - low - 3.0) / 2
    hard = low_index + HARD_CAP_AT
    if soft > hard:
        return Capped(hard, soft=True, hard=True)
    return Capped(round_tenth(soft), soft=True, hard=False)


class LowWindow:
    """Lowest index of a moving period: days must be added, and asked for, in order.

    Each index is kept only while no later one is as low, so a whole history costs one pass.
    """

    def __init__(self, days: int = 365) -> None:
        self._days = timedelta(days=days)
        self._rising: deque[tuple[date, Decimal]] = deque()

    def add(self, day: date, index: Decimal) -> None:
        while self._rising and self._rising[-1][1] >= index:
            self._rising.pop()
        self._rising.append((day, index))

    def reset(self, day: date, index: Decimal) -> None:
        self._rising.clear()
        self._rising.append((day, index))

    def lowest(self, last_play_date: date) -> tuple[date, Decimal] | None:
        """Lowest index calculated from 365 days before ``last_play_date`` on, both days included."""
        start = last_play_date - self._days
        while self._rising and self._rising[0][0] < start:
            self._rising.popleft()
        return self._rising[0] if self._rising else None


def low_handicap_index(
    history: Iterable[tuple[date, Decimal]], last_play_date: date, scores_on_record: int, days: int = 365
) -> Decimal | None:
    """Rule 5.7: lowest index of the period that ends with the last score already on the record.

    ``history`` holds (play date, index) in order of play. None with fewer than 20 scores on record.
    """
    if scores_on_record < SCORES_FOR_LOW_INDEX:
        return None
    window = LowWindow(days)
    for day, index in history:
        window.add(day, index)
    lowest = window.lowest(last_play_date)
    return lowest[1] if lowest else None
