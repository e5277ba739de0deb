"""What comes out: the record line by line, each line carrying all its numbers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from golfstats.calc.handicap.card.acceptability import Standing
from golfstats.calc.handicap.card.adjusted import AdjustedGross, Differential
from golfstats.calc.handicap.index.calculation import Calculation
from golfstats.calc.handicap.index.committee import FreezeIndex, OverrideCap, WithdrawIndex, holds_on
from golfstats.calc.handicap.rules.settings import HandicapRules

LineState = Literal["counts", "held", "paired", "not_acceptable", "penalty"]
"""``held``: a nine that waits; ``paired``: a nine that went into the score ``paired_with``."""


@dataclass(frozen=True)
class Adjustment:
    """An amount added to one differential, and why."""

    amount: Decimal
    rule: str
    cause: str
    on: date
    source_key: str | None
    """Key of the exceptional score that caused it; None for a committee's."""


@dataclass(frozen=True)
class ScoreLine:
    """One score of the record. Indexes are None until there is one."""

    key: str
    played_on: date
    state: LineState
    rule: str
    reason: str
    """Why the score has this standing, or why the committee posted it, with the rule in ``rule``."""
    edition: str
    index_in_force: Decimal | None
    """The index this round was played with: hole maxima, expected values and exceptional scores rest on it."""
    standing: Standing | None = None
    """None for a penalty score."""
    pcc: int = 0
    gross: AdjustedGross | None = None
    differential_parts: Differential | None = None
    differential: Decimal | None = None
    """Rounded, before adjustments."""
    exceptional: Decimal = Decimal("0.0")
    """Reduction that this score brought about."""
    needs_review: bool = False
    """The Committee should look at the reduction (Rule 5.9)."""
    adjustments: tuple[Adjustment, ...] = ()
    """All amounts added to this differential until today."""
    calculation: Calculation | None = None
    counted_keys: tuple[str, ...] = ()
    """The scores this calculation averaged."""
    cap_set_aside: bool = False
    index_before: Decimal | None = None
    """Calculated index before this score; differs from ``index_in_force`` on the second round of a day."""
    calculated_index: Decimal | None = None
    index_after: Decimal | None = None
    """In force after this score: the calculated index, or the level it is frozen at on that day."""
    frozen: bool = False
    low_index: Decimal | None = None
    """Low Handicap Index this calculation was compared with."""
    paired_with: str | None = None
    place: int | None = None
    """Place among the most recent 20 today, 1 the newest; None if older."""
    counts_today: bool = False
    """Among those that the latest calculation averaged."""

    @property
    def adjusted_differential(self) -> Decimal | None:
        if self.differential is None:
            return None
        return self.differential + sum((a.amount for a in self.adjustments), Decimal("0.0"))

    @property
    def counted_then(self) -> bool:
        return self.key in self.counted_keys


@dataclass(frozen=True)
class ActionLine:
    """A committee's action and what it did to the index."""

    on: date
    rule: str
    text: str
    reason: str
    index_before: Decimal | None
    index_after: Decimal | None
    calculation: Calculation | None


@dataclass(frozen=True)
class IndexPoint:
    """The index in force after a score or an action."""

    on: date
    index: Decimal
    low_index: Decimal | None
    key: str | None
    """The score behind it; None for an action."""


@dataclass(frozen=True)
class HandicapRecord:
    """A player's record, computed from the scores and the committee's actions alone."""

    rules: HandicapRules
    lines: tuple[ScoreLine, ...]
    """In order of play, oldest first."""
    actions: tuple[ActionLine, ...]
    calculated_index: Decimal | None
    calculation: Calculation | None
    """The latest one; None while the index, if any, is the Committee's."""
    low_index: Decimal | None
    """Low Handicap Index for the next calculation; None below 20 scores."""
    last_played_on: date | None
    recent_keys: tuple[str, ...]
    """The most recent 20 scores, newest first."""
    recent_differentials: tuple[Decimal, ...]
    """Their differentials, adjusted."""
    table_adjusts: bool
    freezes: tuple[FreezeIndex, ...]
    withdrawals: tuple[WithdrawIndex, ...]
    caps_set_aside: tuple[OverrideCap, ...]
    trend: tuple[IndexPoint, ...]

    def line(self, key: str) -> ScoreLine:
        """The line of one score; ``KeyError`` if there is none."""
        for line in self.lines:
            if line.key == key:
                return line
        raise KeyError(key)

    def frozen_on(self, day: date) -> FreezeIndex | None:
        """The freeze in force on a day; the one that began last, if there are several."""
        return frozen_on(self.freezes, day)

    def withdrawn_on(self, day: date) -> bool:
        return any(holds_on(action, day) for action in self.withdrawals)

    def index_on(self, day: date) -> Decimal | None:
        """The index in force on a day after the last score; None if there is none or it is withdrawn."""
        if self.withdrawn_on(day):
            return None
        freeze = self.frozen_on(day)
        return freeze.index if freeze else self.calculated_index


def frozen_on(freezes: tuple[FreezeIndex, ...] | list[FreezeIndex], day: date) -> FreezeIndex | None:
    in_force = [freeze for freeze in freezes if holds_on(freeze, day)]
    return in_force[-1] if in_force else None
