"""The fold: a player's scores and the committee's actions, in order of play, into a handicap record.

One pass. It keeps the most recent 20 differentials and the low index of a moving year, so a history
ten times as long takes ten times as long. The order of the inputs does not matter.

Order within a day: committee actions first, then the scores as played. Every score of a day is played
with the index in force when the day began (Rule 5.4); the calculations follow one another score by
score (our choice, the rule being silent).
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap import committee
from golfstats.calc.handicap.acceptability import judge
from golfstats.calc.handicap.adjusted import (
    Differential,
    adjusted_gross,
    differential_of,
    paired,
    with_expected_nine,
)
from golfstats.calc.handicap.caps import SCORES_FOR_LOW_INDEX, LowWindow
from golfstats.calc.handicap.committee import Action, PenaltyScore, holds_on
from golfstats.calc.handicap.differential import differential_nine_alone
from golfstats.calc.handicap.exceptional import exceptional_reduction
from golfstats.calc.handicap.index import RECORD_LENGTH, Calculation, calculate
from golfstats.calc.handicap.lines import (
    ActionLine,
    Adjustment,
    HandicapRecord,
    IndexPoint,
    ScoreLine,
    frozen_on,
)
from golfstats.calc.handicap.rounding import ZERO, round_tenth, signed
from golfstats.calc.handicap.scores import Score
from golfstats.calc.handicap.settings import PUBLISHED, HandicapRules

Order = tuple[date, int, str]


def build_record(
    scores: Iterable[Score | PenaltyScore],
    actions: Iterable[Action] = (),
    rules: HandicapRules = PUBLISHED,
) -> HandicapRecord:
    """The record of one player. ``ValueError`` if two scores share a key."""
    ordered = sorted(scores, key=_order)
    if len({score.key for score in ordered}) != len(ordered):
        raise ValueError("two scores have the same key")
    fold = _Fold(rules, sorted(actions, key=lambda action: action.on))
    for score in ordered:
        fold.add(score)
    return fold.finish()


def _order(score: Score | PenaltyScore) -> Order:
    return score.played_on, score.sequence, score.key


@dataclass
class _Entry:
    """A differential on the record; ``value`` contains the adjustments."""

    order: Order
    key: str
    value: Decimal
    adjustments: list[Adjustment] = field(default_factory=list)

    def adjust(self, adjustment: Adjustment) -> None:
        self.adjustments.append(adjustment)
        self.value += adjustment.amount

    def replace_from(self, source_key: str, adjustment: Adjustment) -> None:
        """Put another amount in the place of an exceptional score's reduction."""
        kept = [a for a in self.adjustments if a.source_key != source_key]
        self.value -= sum((a.amount for a in self.adjustments if a.source_key == source_key), ZERO)
        self.adjustments = kept
        if adjustment.amount:
            self.adjust(adjustment)


@dataclass(frozen=True)
class _HeldNine:
    score: Score
    line: int
    exact: Fraction
    expects: bool
    """Gets an expected value once there is an index; otherwise only another nine completes it."""


class _Fold:
    def __init__(self, rules: HandicapRules, actions: Sequence[Action]) -> None:
        self.rules = rules
        self.coming = list(reversed(actions))
        self.lines: list[ScoreLine] = []
        self.action_lines: list[ActionLine] = []
        self.trend: list[IndexPoint] = []
        self.entries: dict[str, _Entry] = {}
        self.window: list[_Entry] = []
        """The most recent 20, oldest first."""
        self.held: list[_HeldNine] = []
        self.low = LowWindow(rules.low_index_days)
        self.index: Decimal | None = None
        """As calculated; a freeze only hides it."""
        self.in_force: Decimal | None = None
        self.day: date | None = None
        self.last_played_on: date | None = None
        self.table_adjusts = True
        self.freezes: list[committee.FreezeIndex] = []
        self.withdrawals: list[committee.WithdrawIndex] = []
        self.caps_set_aside: list[committee.OverrideCap] = []
        self.reductions: dict[str, committee.OverrideExceptional] = {}
        self.needed = rules.differentials_for_index

    # Scores

    def add(self, score: Score | PenaltyScore) -> None:
        if score.played_on != self.day:
            self._begin_day(score.played_on)
        if isinstance(score, PenaltyScore):
            self._add_penalty(score)
        else:
            self._add_score(score)

    def _begin_day(self, day: date) -> None:
        self._act_until(day)
        self.day = day
        self.in_force = self._level_on(day)
        self._complete_held_nines()

    def _level_on(self, day: date) -> Decimal | None:
        freeze = frozen_on(self.freezes, day)
        return freeze.index if freeze else self.index

    def _complete_held_nines(self) -> None:
        """Nines held for want of an index get their expected value, and count from the next calculation."""
        if self.in_force is None:
            return
        for nine in [n for n in self.held if n.expects]:
            self.held.remove(nine)
            parts = with_expected_nine(nine.exact, self.in_force, self.rules)
            entry = self._enter(_order(nine.score), nine.score.key, parts.exact)
            self.lines[nine.line] = replace(
                self.lines[nine.line], state="counts", differential_parts=parts, differential=entry.value
            )

    def _add_score(self, score: Score) -> None:
        pcc = self.rules.pcc_for(score.pcc, score.played_on)
        edition = self.rules.edition_for(score.played_on)
        judgement = judge(score, self.rules, has_index=self.in_force is not None)
        line = replace(
            self._blank_line(score, judgement.rule, judgement.reason), standing=judgement.standing, pcc=pcc
        )
        if not judgement.counts:
            self.lines.append(line)
            return
        gross = adjusted_gross(score, judgement, self.in_force, self.rules)
        current = self._level_on(score.played_on)
        expects_from = current if self.rules.expected_from == "current" else self.in_force
        parts = differential_of(gross, pcc, expects_from, edition, self.rules)
        line = replace(line, gross=gross, state="counts")
        if parts is None:
            nine = differential_nine_alone(gross.score, gross.ratings, pcc)
            if not self.held:
                self.held.append(_HeldNine(score, len(self.lines), nine, edition.nine_holes == "expected"))
                self.lines.append(replace(line, state="held"))
                return
            first = self.held.pop(0)
            self.lines[first.line] = replace(self.lines[first.line], state="paired", paired_with=score.key)
            line = replace(line, paired_with=first.score.key)
            parts = paired(nine, first.exact)
        self._count(line, score, parts)

    def _count(self, line: ScoreLine, score: Score, parts: Differential) -> None:
        low_index = self._low_index(before_score=True)
        entry = self._enter(_order(score), score.key, parts.exact)
        line = replace(line, differential_parts=parts, differential=entry.value)
        reduction = self._reduction(score, parts.exact)
        if reduction.amount:
            for recent in self.window:
                recent.adjust(reduction)
        line = replace(line, exceptional=reduction.amount)
        self._close(line, low_index)

    def _reduction(self, score: Score, exact: Fraction) -> Adjustment:
        override = self.reductions.get(score.key)
        if override:
            cause = f"Committee's decision on the exceptional score {score.key}: {override.reason}"
            return Adjustment(override.amount, "5.9", cause, override.on, score.key)
        amount = exceptional_reduction(self.in_force, exact, self.rules)
        cause = f"exceptional score {score.key}"
        return Adjustment(amount, "5.9", cause, score.played_on, score.key)

    def _add_penalty(self, penalty: PenaltyScore) -> None:
        if not self.window:
            self.lines.append(
                self._blank_line(penalty, "7.1b", "no differential to take a penalty score from")
            )
            return
        line = replace(self._blank_line(penalty, "7.1b", penalty.reason), state="penalty")
        low_index = self._low_index(before_score=True)
        value = committee.penalty_differential(self._values(), penalty.kind)
        self._enter(_order(penalty), penalty.key, value)
        self._close(replace(line, differential=value), low_index)

    # The record and the index

    def _enter(self, order: Order, key: str, exact: Decimal | Fraction) -> _Entry:
        """Put a differential in its place in the order of play; the 21st leaves the window."""
        entry = _Entry(order, key, round_tenth(exact))
        self.entries[key] = entry
        insort(self.window, entry, key=lambda e: e.order)
        del self.window[:-RECORD_LENGTH]
        return entry

    def _values(self) -> list[Decimal]:
        """Adjusted differentials, newest first."""
        return [entry.value for entry in reversed(self.window)]

    def _low_index(self, *, before_score: bool = False) -> Decimal | None:
        """Low Handicap Index by what is already on the record (Rule 5.7)."""
        needed = SCORES_FOR_LOW_INDEX - (before_score and self.rules.cap_at_20th_score)
        if len(self.window) < needed or self.last_played_on is None:
            return None
        lowest = self.low.lowest(self.last_played_on)
        return lowest[1] if lowest else None

    def _recalculate(self, on: date, low_index: Decimal | None) -> Calculation | None:
        """Calculate, take over and date the new index; None while too few holes are on the record."""
        if len(self.window) < self.needed:
            return None
        calculation = calculate(self._values(), low_index, self.rules, table_adjusts=self.table_adjusts)
        self.index = calculation.index
        if self.rules.low_index_counts_early or len(self.window) >= SCORES_FOR_LOW_INDEX:
            self.low.add(on, calculation.index)
        return calculation

    def _close(self, line: ScoreLine, low_index: Decimal | None) -> None:
        """Recalculate after a score that is on the record, and write its line."""
        day = line.played_on
        set_aside = low_index is not None and any(holds_on(a, day) for a in self.caps_set_aside)
        calculation = self._recalculate(day, None if set_aside else low_index)
        self.last_played_on = day
        counted = calculation.counted if calculation else ()
        level = self._level_on(day)
        self.lines.append(
            replace(
                line,
                calculation=calculation,
                counted_keys=tuple(self.window[-1 - place].key for place in counted),
                cap_set_aside=set_aside,
                calculated_index=self.index,
                index_after=level,
                frozen=frozen_on(self.freezes, day) is not None,
                low_index=low_index,
            )
        )
        self._note(day, level, line.key)

    def _blank_line(self, score: Score | PenaltyScore, rule: str, reason: str) -> ScoreLine:
        """A line that leaves the index as it is."""
        return ScoreLine(
            key=score.key,
            played_on=score.played_on,
            state="not_acceptable",
            rule=rule,
            reason=reason,
            edition=self.rules.edition_for(score.played_on).name,
            index_in_force=self.in_force,
            index_before=self.index,
            calculated_index=self.index,
            index_after=self._level_on(score.played_on),
        )

    def _note(self, on: date, index: Decimal | None, key: str | None) -> None:
        if index is not None:
            self.trend.append(IndexPoint(on, index, self._low_index(), key))

    # Committee

    def _act_until(self, day: date | None) -> None:
        while self.coming and (day is None or self.coming[-1].on <= day):
            self._act(self.coming.pop())

    def _act(self, action: Action) -> None:
        before = self._level_on(action.on)
        rule, text, recalculates = self._apply(action)
        calculation = None
        if recalculates:
            lifted = any(holds_on(a, action.on) for a in self.caps_set_aside)
            free = lifted or (isinstance(action, committee.AdjustScores) and action.exceptional)
            calculation = self._recalculate(action.on, None if free else self._low_index())
        after = self._level_on(action.on)
        self.action_lines.append(ActionLine(action.on, rule, text, action.reason, before, after, calculation))
        self._note(action.on, after, None)

    def _apply(self, action: Action) -> tuple[str, str, bool]:
        """Carry an action out; its rule, its words, and whether the index is calculated anew."""
        match action:
            case committee.FreezeIndex():
                return self._freeze(action)
            case committee.SetInitialIndex():
                return self._set_initial(action)
            case committee.OverrideExceptional():
                return self._override_reduction(action)
            case committee.ResetLowIndex():
                return self._reset_low(action)
        return self._apply_simple(action)

    def _apply_simple(
        self,
        action: committee.AdjustScores
        | committee.WithdrawIndex
        | committee.RemoveTableAdjustment
        | committee.OverrideCap
        | committee.DisregardScores,
    ) -> tuple[str, str, bool]:
        match action:
            case committee.AdjustScores():
                self._adjust_all(action.amount, "7.1a", action.reason, action.on)
                return (
                    "7.1a",
                    f"{signed(action.amount)} on each of the {len(self.window)} recent scores",
                    True,
                )
            case committee.WithdrawIndex():
                self.withdrawals.append(action)
                return "7.1", f"index withdrawn {_period(action.on, action.until)}", False
            case committee.RemoveTableAdjustment():
                self.table_adjusts = False
                return "5.2a/2", "no adjustment for few scores", True
            case committee.OverrideCap():
                self.caps_set_aside.append(action)
                return "5.8", f"caps set aside {_period(action.on, action.until)}", True
            case committee.DisregardScores():
                first = action.played_before
                self.window = [entry for entry in self.window if entry.order[0] >= first]
                self.held = [nine for nine in self.held if nine.score.played_on >= first]
                return "7.1", f"scores before {first} disregarded", True

    def _adjust_all(self, amount: Decimal, rule: str, cause: str, on: date) -> None:
        for entry in self.window:
            entry.adjust(Adjustment(amount, rule, cause, on, None))

    def _freeze(self, action: committee.FreezeIndex) -> tuple[str, str, bool]:
        level = committee.limited_increase(
            action.index, self._low_index(), exceptional=action.exceptional, rules=self.rules
        )
        self.freezes.append(replace(action, index=level))
        return "7.1a", f"index frozen at {level} {_period(action.on, action.until)}", False

    def _set_initial(self, action: committee.SetInitialIndex) -> tuple[str, str, bool]:
        target = min(action.index, self.rules.maximum_index)
        text = f"initial index set to {target}"
        if len(self.window) < self.needed:
            self.index = target
            return "5.2a", text, False
        present = calculate(self._values(), None, self.rules, table_adjusts=self.table_adjusts)
        self._adjust_all(target - present.average, "5.2a", action.reason, action.on)
        return "5.2a", text, True

    def _override_reduction(self, action: committee.OverrideExceptional) -> tuple[str, str, bool]:
        self.reductions[action.score_key] = action
        cause = f"Committee's decision on the exceptional score {action.score_key}: {action.reason}"
        adjustment = Adjustment(action.amount, "5.9", cause, action.on, action.score_key)
        for entry in self.window:
            if any(a.source_key == action.score_key for a in entry.adjustments):
                entry.replace_from(action.score_key, adjustment)
        return "5.9", f"reduction for the score {action.score_key} is {signed(action.amount)}", True

    def _reset_low(self, action: committee.ResetLowIndex) -> tuple[str, str, bool]:
        value = self._level_on(action.on) if action.index is None else action.index
        if value is None:
            return "7.1", "no index to set the Low Handicap Index to", False
        self.low.reset(action.on, value)
        return "7.1", f"Low Handicap Index set to {value}", False

    # The end

    def finish(self) -> HandicapRecord:
        self._act_until(None)
        newest_first = list(reversed(self.window))
        counts: set[str] = set()
        if len(self.window) >= self.needed:
            counted = calculate(self._values(), None, self.rules).counted
            counts = {newest_first[place].key for place in counted}
        places = {entry.key: place for place, entry in enumerate(newest_first, start=1)}
        lines = tuple(
            replace(
                line,
                adjustments=tuple(self.entries[line.key].adjustments),
                place=places.get(line.key),
                counts_today=line.key in counts,
            )
            if line.key in self.entries
            else line
            for line in self.lines
        )
        return HandicapRecord(
            rules=self.rules,
            lines=lines,
            actions=tuple(self.action_lines),
            calculated_index=self.index,
            low_index=self._low_index(before_score=True),
            last_played_on=self.last_played_on,
            recent_keys=tuple(places),
            recent_differentials=tuple(self._values()),
            table_adjusts=self.table_adjusts,
            freezes=tuple(self.freezes),
            withdrawals=tuple(self.withdrawals),
            caps_set_aside=tuple(self.caps_set_aside),
            trend=tuple(self.trend),
        )


def _period(on: date, until: date | None) -> str:
    return f"from {on} until {until}" if until else f"from {on} until further notice"
