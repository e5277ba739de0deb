"""Committee actions: the stored row and the action of :mod:`golfstats.calc.handicap` that it stands for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from golfstats.calc import handicap as calc
from golfstats.calc.handicap.rounding import ZERO
from players.handicap.models import CommitteeAction

Needs = frozenset[str]


@dataclass(frozen=True)
class Kind:
    """A kind of action: what it is in words, which fields it needs, and how to make it."""

    words: str
    rule: str
    needs: Needs
    make: Callable[[CommitteeAction], calc.Action | calc.PenaltyScore]


def _value(row: CommitteeAction) -> Decimal:
    return ZERO if row.value is None else row.value


def _adjust(row: CommitteeAction) -> calc.Action:
    return calc.AdjustScores(row.effective_on, _value(row), row.reason, exceptional=row.exceptional)


def _freeze(row: CommitteeAction) -> calc.Action:
    return calc.FreezeIndex(
        row.effective_on, _value(row), row.expires_on, row.reason, exceptional=row.exceptional
    )


def _withdraw(row: CommitteeAction) -> calc.Action:
    return calc.WithdrawIndex(row.effective_on, row.expires_on, row.reason)


def _initial(row: CommitteeAction) -> calc.Action:
    return calc.SetInitialIndex(row.effective_on, _value(row), row.reason)


def _remove_table_adjustment(row: CommitteeAction) -> calc.Action:
    return calc.RemoveTableAdjustment(row.effective_on, row.reason)


def _override_exceptional(row: CommitteeAction) -> calc.Action:
    return calc.OverrideExceptional(row.effective_on, str(row.round_id), row.reason, _value(row))


def _override_cap(row: CommitteeAction) -> calc.Action:
    return calc.OverrideCap(row.effective_on, row.expires_on, row.reason)


def _reset_low(row: CommitteeAction) -> calc.Action:
    return calc.ResetLowIndex(row.effective_on, row.reason, row.value)


def _disregard(row: CommitteeAction) -> calc.Action:
    return calc.DisregardScores(row.effective_on, row.effective_on, row.reason)


def _low_penalty(row: CommitteeAction) -> calc.PenaltyScore:
    return calc.PenaltyScore(str(row.id), row.effective_on, "low", row.reason)


def _high_penalty(row: CommitteeAction) -> calc.PenaltyScore:
    return calc.PenaltyScore(str(row.id), row.effective_on, "high", row.reason)


NOTHING: Needs = frozenset()
VALUE: Needs = frozenset({"value"})


class ActionKind(StrEnum):
    """What a committee may decide."""

    ADJUST_SCORES = "adjust_scores"
    """Adds an amount to each of the recent scores."""
    FREEZE_INDEX = "freeze_index"
    """Holds the index at a level."""
    WITHDRAW_INDEX = "withdraw_index"
    """Withdraws the index."""
    SET_INITIAL_INDEX = "set_initial_index"
    """Sets another initial index."""
    REMOVE_TABLE_ADJUSTMENT = "remove_table_adjustment"
    """No adjustment for few scores."""
    OVERRIDE_EXCEPTIONAL = "override_exceptional"
    """Another reduction for an exceptional score."""
    OVERRIDE_CAP = "override_cap"
    """Sets the caps aside."""
    RESET_LOW_INDEX = "reset_low_index"
    """Another low index."""
    DISREGARD_SCORES = "disregard_scores"
    """Leaves out the scores before this day."""
    LOW_PENALTY_SCORE = "low_penalty_score"
    """A penalty score, the lowest on the record."""
    HIGH_PENALTY_SCORE = "high_penalty_score"
    """A penalty score, the highest on the record."""


KINDS: dict[ActionKind, Kind] = {
    ActionKind.ADJUST_SCORES: Kind("add an amount to each of the recent scores", "7.1a", VALUE, _adjust),
    ActionKind.FREEZE_INDEX: Kind("hold the index at a level", "7.1a", VALUE, _freeze),
    ActionKind.WITHDRAW_INDEX: Kind("withdraw the index", "7.1", NOTHING, _withdraw),
    ActionKind.SET_INITIAL_INDEX: Kind("another initial index", "5.2a", VALUE, _initial),
    ActionKind.REMOVE_TABLE_ADJUSTMENT: Kind(
        "no adjustment for few scores", "5.2a/2", NOTHING, _remove_table_adjustment
    ),
    ActionKind.OVERRIDE_EXCEPTIONAL: Kind(
        "another reduction for an exceptional score", "5.9", frozenset({"round"}), _override_exceptional
    ),
    ActionKind.OVERRIDE_CAP: Kind("set the caps aside", "5.8", NOTHING, _override_cap),
    ActionKind.RESET_LOW_INDEX: Kind("another low index", "7.1", NOTHING, _reset_low),
    ActionKind.DISREGARD_SCORES: Kind("leave out the scores before this day", "7.1", NOTHING, _disregard),
    ActionKind.LOW_PENALTY_SCORE: Kind(
        "a penalty score, the lowest on the record", "7.1b", NOTHING, _low_penalty
    ),
    ActionKind.HIGH_PENALTY_SCORE: Kind(
        "a penalty score, the highest on the record", "7.1b", NOTHING, _high_penalty
    ),
}
