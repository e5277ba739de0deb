"""Committee actions (Rule 7.1) and the few figures they need.

An action takes effect at the start of its day, before the scores played then. Who decided, when, and
that the player was told belongs to the caller's audit log; ``reason`` is repeated in explanations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from golfstats.calc.handicap.index.calculation import RECORD_LENGTH
from golfstats.calc.handicap.rounding import ZERO, signed
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules
from golfstats.sentences import Sentence


@dataclass(frozen=True)
class AdjustScores:
    """7.1a: add one amount to each of the 20 most recent differentials (all if fewer).

    At least 1 stroke either way. ``exceptional`` (a long illness, say) sets the caps aside for the
    recalculation that follows at once.
    """

    on: date
    amount: Decimal
    reason: str
    exceptional: bool = False

    def __post_init__(self) -> None:
        if abs(self.amount) < 1:
            raise ValueError("a Committee adjustment is at least 1 stroke either way (Rule 7.1a)")


@dataclass(frozen=True)
class FreezeIndex:
    """7.1a: the index stays at a chosen level from ``on`` through ``until`` (None: until further notice)."""

    on: date
    index: Decimal
    until: date | None
    reason: str
    exceptional: bool = False
    """Sets the limit of 5.0 above the Low Handicap Index aside."""


@dataclass(frozen=True)
class WithdrawIndex:
    """7.1: no index may be used from ``on`` through ``until``; the record goes on behind it."""

    on: date
    until: date | None
    reason: str


@dataclass(frozen=True)
class SetInitialIndex:
    """5.2a: another initial index on evidence. Later calculations keep the same distance.

    With differentials on the record each is moved by the difference; without any the index holds
    until the record gives one.
    """

    on: date
    index: Decimal
    reason: str


@dataclass(frozen=True)
class RemoveTableAdjustment:
    """5.2a/2: from now on no -1.0 or -2.0 for fewer than seven differentials."""

    on: date
    reason: str


@dataclass(frozen=True)
class OverrideExceptional:
    """5.9: another reduction for one exceptional score; 0 takes it away."""

    on: date
    score_key: str
    reason: str
    amount: Decimal = ZERO


@dataclass(frozen=True)
class OverrideCap:
    """5.8: no soft or hard cap in calculations from ``on`` through ``until``, after an injury, say."""

    on: date
    until: date | None
    reason: str


@dataclass(frozen=True)
class ResetLowIndex:
    """7.1: the Low Handicap Index becomes this value (None: the present index), dated ``on``."""

    on: date
    reason: str
    index: Decimal | None = None


@dataclass(frozen=True)
class DisregardScores:
    """7.1: scores played before a day no longer count, after a lasting change in the player's ability."""

    on: date
    played_before: date
    reason: str


Action = (
    AdjustScores
    | FreezeIndex
    | WithdrawIndex
    | SetInitialIndex
    | RemoveTableAdjustment
    | OverrideExceptional
    | OverrideCap
    | ResetLowIndex
    | DisregardScores
)


@dataclass(frozen=True)
class PenaltyScore:
    """7.1b: stands in the record where a score was not submitted; takes a place in the order of play."""

    key: str
    played_on: date
    kind: Literal["low", "high"]
    reason: str
    sequence: int = 0


def penalty_differential(newest_first: Sequence[Decimal], kind: Literal["low", "high"]) -> Decimal:
    """Lowest or highest of the 20 most recent differentials."""
    recent = newest_first[:RECORD_LENGTH]
    return min(recent) if kind == "low" else max(recent)


def limited_increase(
    requested: Decimal,
    low_index: Decimal | None,
    *,
    exceptional: bool = False,
    rules: HandicapRules = PUBLISHED,
) -> Decimal:
    """The index a Committee may set: at most 5.0 above the Low Handicap Index unless exceptional."""
    limited = min(requested, rules.maximum_index)
    if low_index is None or exceptional:
        return limited
    return min(limited, low_index + rules.committee_increase)


def holds_on(action: FreezeIndex | WithdrawIndex | OverrideCap, day: date) -> bool:
    return action.on <= day and (action.until is None or day <= action.until)


def exceptional_words(day: date | None) -> str:
    return Sentence("the exceptional score of {day}", day=day) if day else Sentence("an exceptional score")


def _period_words(on: date, until: date | None) -> str:
    if until:
        return Sentence("from {day} until {until}", day=on, until=until)
    return Sentence("from {day} until further notice", day=on)


def withdrawn_words(action: WithdrawIndex) -> str:
    return Sentence("index withdrawn {period}", period=_period_words(action.on, action.until))


def caps_words(action: OverrideCap) -> str:
    return Sentence("caps set aside {period}", period=_period_words(action.on, action.until))


def frozen_words(action: FreezeIndex) -> str:
    period = _period_words(action.on, action.until)
    return Sentence("index frozen at {level} {period}", level=str(action.index), period=period)


def adjusted_words(amount: Decimal, scores: int) -> str:
    return Sentence("{amount} on each of the {n} recent scores", amount=signed(amount), n=scores)


def decision_words(which: str, reason: str) -> str:
    return Sentence("Committee's decision on {which}: {reason}", which=which, reason=reason)


def reduction_words(which: str, amount: Decimal) -> str:
    return Sentence("reduction for {which} is {amount}", which=which, amount=signed(amount))
