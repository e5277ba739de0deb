"""The most recent 20 differentials in order of play, and the amounts added to each (Rules 5.2, 5.5, 5.9)."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.index.calculation import RECORD_LENGTH
from golfstats.calc.handicap.index.committee import PenaltyScore
from golfstats.calc.handicap.record.lines import Adjustment
from golfstats.calc.handicap.rounding import ZERO, Exact, round_tenth
from golfstats.calc.handicap.scores import Score

Order = tuple[date, int, str]
"""Day of play, place within the day, key."""


def order_of(score: Score | PenaltyScore) -> Order:
    return score.played_on, score.sequence, score.key


@dataclass(frozen=True)
class HeldNine:
    """A score of nine holes that waits for what completes it."""

    score: Score
    line: int
    exact: Fraction
    expects: bool
    """Gets an expected value once there is an index; otherwise only another nine completes it."""


@dataclass
class Entry:
    """A differential on the record; ``value`` contains the adjustments."""

    order: Order
    key: str
    value: Decimal
    adjustments: list[Adjustment] = field(default_factory=list)

    def adjust(self, adjustment: Adjustment) -> None:
        self.adjustments.append(adjustment)
        self.value += adjustment.amount

    def exchange(self, adjustment: Adjustment) -> None:
        """Put this in the place of what the same exceptional score had added, if it had."""
        replaced = [a for a in self.adjustments if a.source_key == adjustment.source_key]
        if not replaced:
            return
        self.adjustments = [a for a in self.adjustments if a.source_key != adjustment.source_key]
        self.value -= sum((a.amount for a in replaced), ZERO)
        if adjustment.amount:
            self.adjust(adjustment)


class RecentScores:
    """The window; entries that have left it keep their adjustments in ``every``."""

    def __init__(self) -> None:
        self.every: dict[str, Entry] = {}
        self._window: list[Entry] = []
        """Oldest first."""

    def __len__(self) -> int:
        return len(self._window)

    def enter(self, order: Order, exact: Exact) -> Entry:
        """Put a differential in its place in the order of play; the 21st leaves the window."""
        entry = Entry(order, order[-1], round_tenth(exact))
        self.every[entry.key] = entry
        insort(self._window, entry, key=lambda e: e.order)
        del self._window[:-RECORD_LENGTH]
        return entry

    def values(self) -> list[Decimal]:
        """Adjusted differentials, newest first."""
        return [entry.value for entry in reversed(self._window)]

    def keys(self) -> list[str]:
        """Keys of the scores, newest first."""
        return [entry.key for entry in reversed(self._window)]

    def adjust_all(self, adjustment: Adjustment) -> None:
        for entry in self._window:
            entry.adjust(adjustment)

    def exchange_all(self, adjustment: Adjustment) -> None:
        for entry in self._window:
            entry.exchange(adjustment)

    def disregard_before(self, day: date) -> None:
        self._window = [entry for entry in self._window if entry.order[0] >= day]

    def any_exceptional(self) -> bool:
        """Whether an exceptional score still shows in any recent differential."""
        return any(a.rule == "5.9" for entry in self._window for a in entry.adjustments)
