"""What if the scores had been others: the handicap index of hundreds of replays of one record in one fold.

The same fold as :mod:`~golfstats.calc.handicap.record.fold`, over all replays at once, with whole tenths in place
of decimals and without the lines that explain. It gives exactly the index that the single record gives for the
scores of each replay: only scores differ between replays, so which scores count, when a nine waits and what
the committee did run alike in all of them.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

import numpy as np

from golfstats.calc.handicap.card.acceptability import judge
from golfstats.calc.handicap.index import committee
from golfstats.calc.handicap.index.calculation import RECORD_LENGTH, lowest_and_adjustment
from golfstats.calc.handicap.index.caps import HARD_CAP_AT, SCORES_FOR_LOW_INDEX, SOFT_CAP_FROM
from golfstats.calc.handicap.index.committee import Action, PenaltyScore, holds_on
from golfstats.calc.handicap.record.recent import Order, order_of
from golfstats.calc.handicap.replay.cards import (
    Fractions,
    drawn_differential,
    drawn_gross,
    drawn_nine,
    expected_differentials,
    rounded_up_half,
    tenths,
)
from golfstats.calc.handicap.rounding import round_tenth
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules
from golfstats.calc.handicap.scores import Score
from golfstats.calc.record import Floats, Ints


def replayed_indexes(
    scores: Iterable[Score | PenaltyScore],
    actions: Iterable[Action],
    rules: HandicapRules,
    fewer: Mapping[str, Ints],
    draws: int,
) -> Ints | None:
    """The calculated index in tenths in each of ``draws`` replays; None while there is no index.

    ``fewer`` holds, by a score's key, the strokes fewer (negative: more) in each replay: a row a
    replay, a column a hole of the card, or one column for a score entered as a total. Scores
    that it leaves out stay as they are; no hole is done in fewer strokes than one. A hole that was picked up is
    changed where its most likely score is known. ``ValueError`` if two scores share a key.
    """
    ordered = sorted(scores, key=order_of)
    if len({score.key for score in ordered}) != len(ordered):
        raise ValueError("two scores have the same key")
    fold = _Fold(rules, sorted(actions, key=lambda action: action.on), draws)
    for score in ordered:
        if score.played_on != fold.day:
            fold.begin_day(score.played_on)
        if isinstance(score, PenaltyScore):
            fold.add_penalty(score)
        else:
            nothing = np.zeros((draws, max(len(score.holes), 1)), dtype=np.int64)
            fold.add_score(score, fewer.get(score.key, nothing))
    fold.finish()
    return fold.index


def replayed_index_or_nan(
    scores: Sequence[Score | PenaltyScore],
    actions: Sequence[Action],
    fewer: Mapping[str, Ints],
    draws: int,
    rules: HandicapRules = PUBLISHED,
) -> Floats:
    """The same as plain numbers, NaN while there is no index."""
    tenths = replayed_indexes(scores, actions, rules, fewer, draws)
    return np.full(draws, np.nan) if tenths is None else tenths / 10


@dataclass
class _Entry:
    """A differential on the record in each replay, in tenths, with what exceptional scores took off it."""

    order: Order
    value: Ints
    reductions: dict[str, Ints] = field(default_factory=dict)
    """By the key of the exceptional score; 0 where there was none in that replay."""


class _Recent:
    """The 20 most recent differentials, oldest first."""

    def __init__(self) -> None:
        self.entries: list[_Entry] = []

    def __len__(self) -> int:
        return len(self.entries)

    def enter(self, order: Order, value: Ints) -> None:
        insort(self.entries, _Entry(order, value), key=lambda entry: entry.order)
        del self.entries[:-RECORD_LENGTH]

    def values(self) -> Ints:
        """Replays × differentials."""
        return np.ascontiguousarray(np.array([entry.value for entry in self.entries]).T)

    def add(self, amount: Ints | int) -> None:
        for entry in self.entries:
            entry.value = entry.value + amount

    def reduce(self, amount: Ints, source: str) -> None:
        for entry in self.entries:
            entry.value = entry.value + amount
            entry.reductions[source] = amount

    def exchange(self, amount: int, source: str) -> None:
        """Another amount wherever this exceptional score had taken one off."""
        for entry in self.entries:
            before = entry.reductions.get(source)
            if before is not None:
                now = np.where(before != 0, amount, 0)
                entry.value = entry.value + now - before
                entry.reductions[source] = now

    def disregard_before(self, day: date) -> None:
        self.entries = [entry for entry in self.entries if entry.order[0] >= day]


class _Low:
    """Lowest index of a moving period; days must be added, and asked for, in order."""

    def __init__(self, days: int) -> None:
        self.days = timedelta(days=days)
        self.indexes: list[tuple[date, Ints]] = []

    def add(self, day: date, index: Ints) -> None:
        self.indexes.append((day, index))

    def reset(self, day: date, index: Ints) -> None:
        self.indexes = [(day, index)]

    def lowest(self, last_play_date: date) -> Ints | None:
        start = last_play_date - self.days
        while self.indexes and self.indexes[0][0] < start:
            del self.indexes[0]
        return np.min([index for _, index in self.indexes], axis=0) if self.indexes else None


@dataclass(frozen=True)
class _HeldNine:
    score: Score
    exact: Fractions
    expects: bool


class _Fold:
    """Method by method the fold of the single record; ``index`` and everything compared with it in tenths."""

    def __init__(self, rules: HandicapRules, actions: Sequence[Action], draws: int) -> None:
        self.rules = rules
        self.draws = draws
        self.coming = list(reversed(actions))
        self.recent = _Recent()
        self.held: _HeldNine | None = None
        self.low = _Low(rules.low_index_days)
        self.index: Ints | None = None
        self.in_force: Ints | None = None
        self.day: date | None = None
        self.last_played_on: date | None = None
        self.table_adjusts = True
        self.freezes: list[tuple[committee.FreezeIndex, Ints]] = []
        self.caps_set_aside: list[committee.OverrideCap] = []
        self.overrides: dict[str, int] = {}

    # Scores

    def begin_day(self, day: date) -> None:
        self._end_day()
        self._act_until(day)
        self.day = day
        self.in_force = self._level_on(day)

    def finish(self) -> None:
        self._end_day()
        self._act_until(None)

    def add_score(self, score: Score, fewer: Ints) -> None:
        rules = self.rules
        judgement = judge(score, rules, has_index=self.in_force is not None)
        if not judgement.counts:
            return
        pcc, edition = rules.pcc_for(score.pcc, score.played_on), rules.edition_for(score.played_on)
        gross = drawn_gross(score, judgement, self.in_force, rules, fewer)
        current = self._level_on(score.played_on)
        expects_from = current if rules.expected_from == "current" else self.in_force
        exact = drawn_differential(gross, pcc, expects_from, edition, rules)
        if exact is None:
            nine = drawn_nine(gross, pcc)
            first, self.held = self.held, None
            if first is None:
                self.held = _HeldNine(score, nine, edition.nine_holes == "expected")
                return
            exact = nine + first.exact
        self._count(score, exact)

    def add_penalty(self, penalty: PenaltyScore) -> None:
        if len(self.recent) == 0:
            return
        low = self._low_index(before_score=True)
        worst_or_best = np.min if penalty.kind == "low" else np.max
        self.recent.enter(order_of(penalty), worst_or_best(self.recent.values(), axis=1))
        self._close(penalty.played_on, low)

    def _count(self, score: Score, exact: Fractions) -> None:
        low = self._low_index(before_score=True)
        self.recent.enter(order_of(score), exact.rounded(1))
        reduction = self._reduction(score, exact)
        if np.any(reduction):
            self.recent.reduce(reduction, score.key)
        self._close(score.played_on, low)

    def _reduction(self, score: Score, exact: Fractions) -> Ints:
        """Rule 5.9, in tenths."""
        override = self.overrides.get(score.key)
        if override is not None:
            return np.full(self.draws, override, dtype=np.int64)
        if self.in_force is None:
            return np.zeros(self.draws, dtype=np.int64)
        compared = Fractions(exact.rounded(1), 10) if self.rules.exceptional_from_rounded else exact
        gap = self.in_force * compared.denominator - 10 * compared.numerator
        unit = 10 * compared.denominator
        two = gap >= 10 * unit
        if self.rules.exceptional_two_above == "9.9":
            two |= 10 * gap > 99 * unit
        return np.where(two, -20, np.where(gap >= 7 * unit, -10, 0))

    def _end_day(self) -> None:
        if self.day is not None:
            self._complete_held_nine(self.day)

    def _complete_held_nine(self, day: date) -> None:
        nine, level = self.held, self._level_on(day)
        if nine is None or not nine.expects or level is None:
            return
        self.held = None
        low = self._low_index()
        exact = nine.exact + expected_differentials(level, 9, self.rules)
        self.recent.enter(order_of(nine.score), exact.rounded(1))
        self._calculate(day, low)

    # The index

    def _level_on(self, day: date) -> Ints | None:
        levels = [level for freeze, level in self.freezes if holds_on(freeze, day)]
        return levels[-1] if levels else self.index

    def _low_index(self, *, before_score: bool = False) -> Ints | None:
        needed = SCORES_FOR_LOW_INDEX - (before_score and self.rules.cap_at_20th_score)
        if len(self.recent) < needed or self.last_played_on is None:
            return None
        return self.low.lowest(self.last_played_on)

    def _close(self, day: date, low: Ints | None) -> None:
        self._calculate(day, low)
        self.last_played_on = day

    def _calculate(self, day: date, low: Ints | None) -> None:
        set_aside = low is not None and self._caps_are_set_aside(day)
        self._recalculate(day, None if set_aside else low)

    def _recalculate(self, day: date, low: Ints | None) -> None:
        if len(self.recent) < self.rules.differentials_for_index:
            return
        average = self._average()
        capped = average if low is None else _capped(average, low)
        self.index = np.minimum(capped, tenths(self.rules.maximum_index))
        if self.rules.low_index_counts_early or len(self.recent) >= SCORES_FOR_LOW_INDEX:
            self.low.add(day, self.index)

    def _average(self) -> Ints:
        """Rule 5.2a: mean of the lowest differentials with the table's adjustment."""
        values = self.recent.values()
        count, adjustment = lowest_and_adjustment(values.shape[1])
        if count < values.shape[1]:
            values.partition(count - 1, axis=1)
        added = count * tenths(adjustment) if self.table_adjusts else 0
        return rounded_up_half(np.sum(values[:, :count], axis=1) + added, count)

    def _caps_are_set_aside(self, day: date) -> bool:
        return any(holds_on(action, day) for action in self.caps_set_aside)

    # Committee

    def _act_until(self, day: date | None) -> None:
        while self.coming and (day is None or self.coming[-1].on <= day):
            self._act(self.coming.pop())

    def _act(self, action: Action) -> None:
        if self._apply(action) == "recalculate":
            exceptional = isinstance(action, committee.AdjustScores) and action.exceptional
            free = exceptional or self._caps_are_set_aside(action.on)
            self._recalculate(action.on, None if free else self._low_index())
        self._complete_held_nine(action.on)

    def _apply(self, action: Action) -> Literal["recalculate", "keep"]:
        """Carry an action out, and say whether the index is calculated anew."""
        match action:
            case committee.FreezeIndex():
                self.freezes.append((action, self._freeze_level(action)))
            case committee.SetInitialIndex():
                return self._set_initial(action)
            case committee.ResetLowIndex():
                self._reset_low(action)
            case committee.WithdrawIndex():
                pass
            case _:
                self._apply_to_record(action)
                return "recalculate"
        return "keep"

    def _apply_to_record(
        self,
        action: committee.AdjustScores
        | committee.OverrideExceptional
        | committee.RemoveTableAdjustment
        | committee.OverrideCap
        | committee.DisregardScores,
    ) -> None:
        match action:
            case committee.AdjustScores():
                self.recent.add(tenths(round_tenth(action.amount)))
            case committee.OverrideExceptional():
                amount = tenths(round_tenth(action.amount))
                self.overrides[action.score_key] = amount
                self.recent.exchange(amount, action.score_key)
            case committee.RemoveTableAdjustment():
                self.table_adjusts = False
            case committee.OverrideCap():
                self.caps_set_aside.append(action)
            case committee.DisregardScores():
                self.recent.disregard_before(action.played_before)
                if self.held and self.held.score.played_on < action.played_before:
                    self.held = None

    def _freeze_level(self, action: committee.FreezeIndex) -> Ints:
        asked = min(tenths(round_tenth(action.index)), tenths(self.rules.maximum_index))
        level = np.full(self.draws, asked, dtype=np.int64)
        low = self._low_index()
        if low is None or action.exceptional:
            return level
        return np.minimum(level, low + tenths(self.rules.committee_increase))

    def _set_initial(self, action: committee.SetInitialIndex) -> Literal["recalculate", "keep"]:
        target = min(tenths(round_tenth(action.index)), tenths(self.rules.maximum_index))
        if len(self.recent) < self.rules.differentials_for_index:
            self.index = np.full(self.draws, target, dtype=np.int64)
            return "keep"
        self.recent.add(target - self._average())
        return "recalculate"

    def _reset_low(self, action: committee.ResetLowIndex) -> None:
        value = self._level_on(action.on)
        if action.index is not None:
            value = np.full(self.draws, tenths(round_tenth(action.index)), dtype=np.int64)
        if value is not None:
            self.low.reset(action.on, value)


def _capped(average: Ints, low: Ints) -> Ints:
    """Rule 5.8 in tenths."""
    soft_from, hard_at = tenths(SOFT_CAP_FROM), tenths(HARD_CAP_AT)
    soft = rounded_up_half(average + low + soft_from, 2)
    limited = np.minimum(soft, low + hard_at)
    return np.where(average - low <= soft_from, average, limited)
