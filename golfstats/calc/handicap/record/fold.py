"""The fold: a player's scores and the committee's actions, in order of play, into a handicap record.

One pass. It keeps the most recent 20 differentials and the low index of a moving year, so a history
ten times as long takes ten times as long. The order of the scores given does not matter, nor that of
actions on different days; actions of one day are carried out as given.

Order within a day: committee actions first, then the scores as played. Every score of a day is played
with the index in force when the day began (Rule 5.4); the calculations follow one another score by
score (our choice, the rule being silent).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import Any

from golfstats.calc.handicap.card.acceptability import judge
from golfstats.calc.handicap.card.adjusted import (
    Differential,
    adjusted_gross,
    differential_of,
    paired,
    with_expected_nine,
)
from golfstats.calc.handicap.card.differential import differential_nine_alone
from golfstats.calc.handicap.index import committee
from golfstats.calc.handicap.index.calculation import Calculation, calculate
from golfstats.calc.handicap.index.caps import SCORES_FOR_LOW_INDEX, LowWindow
from golfstats.calc.handicap.index.committee import Action, PenaltyScore, exceptional_words, holds_on
from golfstats.calc.handicap.index.exceptional import exceptional_reduction
from golfstats.calc.handicap.record.lines import (
    ActionLine,
    Adjustment,
    HandicapRecord,
    IndexPoint,
    LineState,
    ScoreLine,
    frozen_on,
)
from golfstats.calc.handicap.record.recent import HeldNine, RecentScores, order_of
from golfstats.calc.handicap.rounding import round_tenth
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules
from golfstats.calc.handicap.scores import Score
from golfstats.sentences import Sentence

REVIEW_FROM = -2
"""Rule 5.9: a reduction of 2, or a second exceptional score, should be reviewed by the Committee."""


def build_record(
    scores: Iterable[Score | PenaltyScore],
    actions: Iterable[Action] = (),
    rules: HandicapRules = PUBLISHED,
) -> HandicapRecord:
    """The record of one player. ``ValueError`` if two scores share a key."""
    ordered = sorted(scores, key=order_of)
    if len({score.key for score in ordered}) != len(ordered):
        raise ValueError("two scores have the same key")
    fold = _Fold(rules, sorted(actions, key=lambda action: action.on))
    for score in ordered:
        fold.add(score)
    return fold.finish()


class _Fold:
    def __init__(self, rules: HandicapRules, actions: Sequence[Action]) -> None:
        self.rules = rules
        self.coming = list(reversed(actions))
        self.lines: list[ScoreLine] = []
        self.action_lines: list[ActionLine] = []
        self.trend: list[IndexPoint] = []
        self.recent = RecentScores()
        self.held: HeldNine | None = None
        self.low = LowWindow(rules.low_index_days)
        self.index: Decimal | None = None
        """As calculated; a freeze only hides it."""
        self.calculation: Calculation | None = None
        self.counted_keys: tuple[str, ...] = ()
        self.in_force: Decimal | None = None
        self.day: date | None = None
        self.last_played_on: date | None = None
        self.table_adjusts = True
        self.freezes: list[committee.FreezeIndex] = []
        self.withdrawals: list[committee.WithdrawIndex] = []
        self.caps_set_aside: list[committee.OverrideCap] = []
        self.reductions: dict[str, committee.OverrideExceptional] = {}

    # Scores

    def add(self, score: Score | PenaltyScore) -> None:
        if score.played_on != self.day:
            self._begin_day(score.played_on)
        if isinstance(score, PenaltyScore):
            self._add_penalty(score)
        else:
            self._add_score(score)

    def _begin_day(self, day: date) -> None:
        self._end_day()
        self._act_until(day)
        self.day = day
        self.in_force = self._level_on(day)

    def _end_day(self) -> None:
        if self.day is not None:
            self._complete_held_nine(self.day)

    def _level_on(self, day: date) -> Decimal | None:
        freeze = frozen_on(self.freezes, day)
        return freeze.index if freeze else self.index

    def _complete_held_nine(self, day: date) -> None:
        """Once there is an index, the nine held for want of one gets its expected value and counts."""
        nine, level = self.held, self._level_on(day)
        if nine is None or not nine.expects or level is None:
            return
        self.held = None
        low_index = self._low_index()
        parts = with_expected_nine(nine.exact, level, self.rules)
        entry = self.recent.enter(order_of(nine.score), parts.exact)
        line = replace(
            self.lines[nine.line],
            state="counts",
            differential_parts=parts,
            differential=entry.value,
            index_before=self.index,
        )
        self.lines[nine.line] = self._calculated(line, day, low_index)
        self._note(day, self.lines[nine.line].index_after, line.key)

    def _add_score(self, score: Score) -> None:
        pcc = self.rules.pcc_for(score.pcc, score.played_on)
        edition = self.rules.edition_for(score.played_on)
        judgement = judge(score, self.rules, has_index=self.in_force is not None)
        standing, rule, reason = judgement.standing, judgement.rule, judgement.reason
        made = partial(self._line, score, rule, reason, standing=standing, pcc=pcc)
        if not judgement.counts:
            self.lines.append(made("not_acceptable"))
            return
        gross = adjusted_gross(score, judgement, self.in_force, self.rules)
        current = self._level_on(score.played_on)
        expects_from = current if self.rules.expected_from == "current" else self.in_force
        parts = differential_of(gross, pcc, expects_from, edition, self.rules)
        line = made("counts", gross=gross)
        if parts is None:
            nine = differential_nine_alone(gross.score, gross.ratings, pcc)
            first, self.held = self.held, None
            if first is None:
                self.held = HeldNine(score, len(self.lines), nine, edition.nine_holes == "expected")
                self.lines.append(replace(line, state="held"))
                return
            self.lines[first.line] = replace(self.lines[first.line], state="paired", paired_with=score.key)
            line = replace(line, paired_with=first.score.key)
            parts = paired(nine, first.exact)
        self._count(line, score, parts)

    def _count(self, line: ScoreLine, score: Score, parts: Differential) -> None:
        low_index = self._low_index(before_score=True)
        entry = self.recent.enter(order_of(score), parts.exact)
        line = replace(line, differential_parts=parts, differential=entry.value)
        reduction = self._reduction(score, parts.exact)
        if reduction is not None:
            review = self.recent.any_exceptional() or reduction.amount <= REVIEW_FROM
            line = replace(line, exceptional=reduction.amount, needs_review=review)
            self.recent.adjust_all(reduction)
        self._close(line, low_index)

    def _reduction(self, score: Score, exact: Fraction) -> Adjustment | None:
        """What an exceptional score takes off the record, by rule or as the Committee decided; nothing for others."""
        override = self.reductions.get(score.key)
        amount = exceptional_reduction(self.in_force, exact, self.rules)
        if override:
            amount = round_tenth(override.amount)
        if not amount:
            return None
        which = exceptional_words(score.played_on)
        if override:
            cause = committee.decision_words(which, override.reason)
            return Adjustment(amount, "5.9", cause, override.on, score.key)
        return Adjustment(amount, "5.9", which, score.played_on, score.key)

    def _add_penalty(self, penalty: PenaltyScore) -> None:
        if len(self.recent) == 0:
            nothing = Sentence("no differential to take a penalty score from")
            self.lines.append(self._line(penalty, "7.1b", nothing, "not_acceptable"))
            return
        line = self._line(penalty, "7.1b", penalty.reason, "penalty")
        low_index = self._low_index(before_score=True)
        value = committee.penalty_differential(self.recent.values(), penalty.kind)
        self.recent.enter(order_of(penalty), value)
        self._close(replace(line, differential=value), low_index)

    # The record and the index

    def _low_index(self, *, before_score: bool = False) -> Decimal | None:
        """Low Handicap Index by what is already on the record (Rule 5.7)."""
        needed = SCORES_FOR_LOW_INDEX - (before_score and self.rules.cap_at_20th_score)
        if len(self.recent) < needed or self.last_played_on is None:
            return None
        lowest = self.low.lowest(self.last_played_on)
        return lowest[1] if lowest else None

    def _recalculate(self, on: date, low_index: Decimal | None) -> Calculation | None:
        """Calculate, take over and date the new index; None while too few holes are on the record."""
        if len(self.recent) < self.rules.differentials_for_index:
            return None
        calculation = calculate(self.recent.values(), low_index, self.rules, table_adjusts=self.table_adjusts)
        self.index = calculation.index
        self.calculation = calculation
        keys = self.recent.keys()
        self.counted_keys = tuple(keys[place] for place in calculation.counted)
        if self.rules.low_index_counts_early or len(self.recent) >= SCORES_FOR_LOW_INDEX:
            self.low.add(on, calculation.index)
        return calculation

    def _close(self, line: ScoreLine, low_index: Decimal | None) -> None:
        """Recalculate after a score that is on the record, and write its line."""
        closed = self._calculated(line, line.played_on, low_index)
        self.last_played_on = line.played_on
        self.lines.append(closed)
        self._note(line.played_on, closed.index_after, line.key)

    def _calculated(self, line: ScoreLine, day: date, low_index: Decimal | None) -> ScoreLine:
        set_aside = low_index is not None and self._caps_set_aside(day)
        calculation = self._recalculate(day, None if set_aside else low_index)
        return replace(
            line,
            calculation=calculation,
            counted_keys=self.counted_keys if calculation else (),
            cap_set_aside=set_aside,
            calculated_index=self.index,
            index_after=self._level_on(day),
            frozen=frozen_on(self.freezes, day) is not None,
            low_index=low_index,
        )

    def _caps_set_aside(self, day: date) -> bool:
        return any(holds_on(action, day) for action in self.caps_set_aside)

    def _line(
        self, score: Score | PenaltyScore, rule: str, reason: str, state: LineState, **more: Any
    ) -> ScoreLine:
        """A line that leaves the index as it is."""
        return ScoreLine(
            key=score.key,
            played_on=score.played_on,
            state=state,
            rule=rule,
            reason=reason,
            edition=self.rules.edition_for(score.played_on).name,
            index_in_force=self.in_force,
            index_before=self.index,
            calculated_index=self.index,
            index_after=self._level_on(score.played_on),
            **more,
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
            exceptional = isinstance(action, committee.AdjustScores) and action.exceptional
            free = exceptional or self._caps_set_aside(action.on)
            calculation = self._recalculate(action.on, None if free else self._low_index())
        after = self._level_on(action.on)
        self.action_lines.append(ActionLine(action.on, rule, text, action.reason, before, after, calculation))
        self._note(action.on, after, None)
        self._complete_held_nine(action.on)

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
                amount = round_tenth(action.amount)
                self._adjust_all(amount, "7.1a", action)
                return "7.1a", committee.adjusted_words(amount, len(self.recent)), True
            case committee.WithdrawIndex():
                self.withdrawals.append(action)
                return "7.1", committee.withdrawn_words(action), False
            case committee.RemoveTableAdjustment():
                self.table_adjusts = False
                return "5.2a/2", Sentence("no adjustment for few scores"), True
            case committee.OverrideCap():
                self.caps_set_aside.append(action)
                return "5.8", committee.caps_words(action), True
            case committee.DisregardScores():
                first = action.played_before
                self.recent.disregard_before(first)
                if self.held and self.held.score.played_on < first:
                    self.held = None
                return "7.1", Sentence("scores before {day} disregarded", day=first), True

    def _adjust_all(
        self, amount: Decimal, rule: str, action: committee.AdjustScores | committee.SetInitialIndex
    ) -> None:
        self.recent.adjust_all(Adjustment(amount, rule, action.reason, action.on, None))

    def _freeze(self, action: committee.FreezeIndex) -> tuple[str, str, bool]:
        level = committee.limited_increase(
            round_tenth(action.index), self._low_index(), exceptional=action.exceptional, rules=self.rules
        )
        frozen = replace(action, index=level)
        self.freezes.append(frozen)
        return "7.1a", committee.frozen_words(frozen), False

    def _set_initial(self, action: committee.SetInitialIndex) -> tuple[str, str, bool]:
        target = min(round_tenth(action.index), self.rules.maximum_index)
        text = Sentence("initial index set to {index}", index=str(target))
        if len(self.recent) < self.rules.differentials_for_index:
            self.index = target
            return "5.2a", text, False
        present = calculate(self.recent.values(), None, self.rules, table_adjusts=self.table_adjusts)
        self._adjust_all(target - present.average, "5.2a", action)
        return "5.2a", text, True

    def _override_reduction(self, action: committee.OverrideExceptional) -> tuple[str, str, bool]:
        self.reductions[action.score_key] = action
        entry = self.recent.every.get(action.score_key)
        which = exceptional_words(entry.order[0] if entry else None)
        cause = committee.decision_words(which, action.reason)
        adjustment = Adjustment(round_tenth(action.amount), "5.9", cause, action.on, action.score_key)
        self.recent.exchange_all(adjustment)
        return "5.9", committee.reduction_words(which, adjustment.amount), True

    def _reset_low(self, action: committee.ResetLowIndex) -> tuple[str, str, bool]:
        value = self._level_on(action.on) if action.index is None else round_tenth(action.index)
        if value is None:
            return "7.1", Sentence("no index to set the Low Handicap Index to"), False
        self.low.reset(action.on, value)
        return "7.1", Sentence("Low Handicap Index set to {index}", index=str(value)), False

    # The end

    def finish(self) -> HandicapRecord:
        self._end_day()
        self._act_until(None)
        newest_first = self.recent.keys()
        places = {key: place for place, key in enumerate(newest_first, start=1)}
        lines = tuple(
            replace(
                line,
                adjustments=tuple(self.recent.every[line.key].adjustments),
                place=places.get(line.key),
                counts_today=line.key in self.counted_keys,
            )
            if line.key in self.recent.every
            else line
            for line in self.lines
        )
        return HandicapRecord(
            rules=self.rules,
            lines=lines,
            actions=tuple(self.action_lines),
            calculated_index=self.index,
            calculation=self.calculation,
            low_index=self._low_index(before_score=True),
            last_played_on=self.last_played_on,
            recent_keys=tuple(newest_first),
            recent_differentials=tuple(self.recent.values()),
            table_adjusts=self.table_adjusts,
            freezes=tuple(self.freezes),
            withdrawals=tuple(self.withdrawals),
            caps_set_aside=tuple(self.caps_set_aside),
            trend=tuple(self.trend),
        )
