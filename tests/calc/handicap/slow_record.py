"""The handicap record the slow way: after every score everything is worked out from the whole list again.

Written from the rules alone, with whole tenths and fractions, lists instead of windows, strokes handed out
one at a time. It shares nothing with the service but the shape of its inputs.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from golfstats.calc.handicap import (
    AdjustScores,
    DisregardScores,
    FreezeIndex,
    OverrideCap,
    OverrideExceptional,
    PenaltyScore,
    RemoveTableAdjustment,
    ResetLowIndex,
    SetInitialIndex,
)

TABLE = "1:1:-20 2:1:-20 3:1:-20 4:1:-10 5:1:0 6:2:-10 7:2:0 8:2:0 9:3:0 10:3:0 11:3:0 12:4:0 13:4:0 14:4:0 15:5:0 16:5:0 17:6:0 18:6:0 19:7:0 20:8:0"
LOWEST = {int(n): (int(k), int(a)) for n, k, a in (row.split(":") for row in TABLE.split())}


def nearest(value: Fraction) -> int:
    return floor(value + Fraction(1, 2))


def tenths(value: Fraction) -> int:
    return nearest(value * 10)


def handed_out(handicap: int, indexes: list[int]) -> dict[int, int]:
    """Strokes by stroke index: one at a time from the hardest, or back from the easiest."""
    strokes = dict.fromkeys(indexes, 0)
    order = sorted(indexes)
    if handicap < 0:
        order.reverse()
    for turn in range(abs(handicap)):
        strokes[order[turn % len(order)]] += 1 if handicap > 0 else -1
    return strokes


def fact(kind, **values):
    return {"kind": kind, **values}


@dataclass
class Outcome:
    state: str
    gross: int | None = None
    raw: int | None = None
    low: int | None = None
    reduction: int = 0
    index: int | None = None
    in_force: int | None = None


@dataclass
class SlowRecord:
    rules: object
    facts: list = field(default_factory=list)
    held: list = field(default_factory=list)
    outcomes: dict = field(default_factory=dict)
    freezes: list = field(default_factory=list)
    lifts: list = field(default_factory=list)
    overrides: dict = field(default_factory=dict)
    table: bool = True

    # All from the list of facts, every time.

    def rows(self) -> list[dict]:
        """Every differential ever entered and not disregarded, in order of play, with its adjustments."""
        rows: list[dict] = []
        for item in self.facts:
            if item["kind"] == "differential":
                rows.append({**item, "added": []})
                rows.sort(key=lambda row: row["order"])
            elif item["kind"] == "amount":
                for row in rows[-20:]:
                    row["added"].append((item["source"], item["amount"]))
            elif item["kind"] == "instead":
                for row in rows[-20:]:
                    if any(source == item["source"] for source, _ in row["added"]):
                        row["added"] = [a for a in row["added"] if a[0] != item["source"]]
                        row["added"].append((item["source"], item["amount"]))
            elif item["kind"] == "disregard":
                rows = [row for row in rows if row["order"][0] >= item["before"]]
        return rows

    def values(self) -> list[int]:
        return [row["tenths"] + sum(amount for _, amount in row["added"]) for row in self.rows()[-20:]]

    def index(self) -> int | None:
        known = [item["value"] for item in self.facts if item["kind"] == "index"]
        return known[-1] if known else None

    def low(self, needed: int = 20) -> int | None:
        closed = [item["day"] for item in self.facts if item["kind"] == "scored"]
        if len(self.values()) < needed or not closed:
            return None
        start = closed[-1] - timedelta(days=365)
        known = []
        for item in self.facts:
            if item["kind"] == "low_reset":
                known = [item]
            if item["kind"] == "index" and item["calculated"]:
                known.append(item)
        return min((item["value"] for item in known if item["day"] >= start), default=None)

    def frozen(self, day: date) -> int | None:
        levels = [level for first, last, level in self.freezes if first <= day and (not last or day <= last)]
        return levels[-1] if levels else None

    def level(self, day: date) -> int | None:
        level = self.frozen(day)
        return self.index() if level is None else level

    def average(self) -> int:
        values = sorted(self.values())
        count, adjustment = LOWEST[len(values)]
        if not self.table:
            adjustment = 0
        return nearest(Fraction(sum(values[:count]), count) + adjustment)

    def recalculate(self, day: date, low: int | None) -> None:
        if len(self.values()) * 18 < self.rules.first_index_holes:
            return
        result = self.average()
        if low is not None and result > low + 30:
            result = min(nearest(Fraction(low + 30) + Fraction(result - low - 30, 2)), low + 50)
        result = min(result, 540)
        counts = self.rules.low_index_counts_early or len(self.values()) == 20
        self.facts.append(fact("index", day=day, value=result, calculated=counts))

    # The committee

    def act(self, action) -> None:
        on = action.on
        if isinstance(action, AdjustScores):
            self.facts.append(fact("amount", source=None, amount=int(action.amount * 10)))
        elif isinstance(action, FreezeIndex):
            low = self.low()
            level = min(int(action.index * 10), 540)
            if low is not None and not action.exceptional:
                level = min(level, low + 50)
            self.freezes.append((on, action.until, level))
            return
        elif isinstance(action, SetInitialIndex):
            target = min(int(action.index * 10), 540)
            if len(self.values()) * 18 < self.rules.first_index_holes:
                self.facts.append(fact("index", day=on, value=target, calculated=False))
                return
            self.facts.append(fact("amount", source=None, amount=target - self.average()))
        elif isinstance(action, RemoveTableAdjustment):
            self.table = False
        elif isinstance(action, OverrideExceptional):
            amount = int(action.amount * 10)
            self.overrides[action.score_key] = amount
            self.facts.append(fact("instead", source=action.score_key, amount=amount))
        elif isinstance(action, OverrideCap):
            self.lifts.append((on, action.until))
        elif isinstance(action, ResetLowIndex):
            value = self.level(on) if action.index is None else int(action.index * 10)
            if value is not None:
                self.facts.append(fact("low_reset", day=on, value=value))
            return
        elif isinstance(action, DisregardScores):
            self.facts.append(fact("disregard", before=action.played_before))
            self.held = [nine for nine in self.held if nine["order"][0] >= action.played_before]
        free = self.lifted(on) or (isinstance(action, AdjustScores) and action.exceptional)
        self.recalculate(on, None if free else self.low())

    def lifted(self, day: date) -> bool:
        return any(first <= day and (not last or day <= last) for first, last in self.lifts)

    # Scores

    def expected(self, index: int, holes: int) -> Fraction:
        return (Fraction("1.04") * Fraction(index, 10) + Fraction("2.4")) * holes / 18

    def course_handicap(self, index: int, ratings, nine: bool) -> int:
        start = Fraction(nearest(Fraction(index, 2)) if nine else index, 10)
        return nearest(start * ratings.slope_rating / 113 + Fraction(ratings.course_rating) - ratings.par)

    def gross(self, score, handicap: int | None) -> int:
        """Adjusted gross score of the holes that were played."""
        if score.adjusted_total is not None:
            return score.adjusted_total
        if score.points is not None:
            return score.ratings.par + handicap - score.points + 2 * score.holes_in_round
        received = handed_out(handicap or 0, [hole.stroke_index for hole in score.holes])
        total = 0
        for hole in score.holes:
            if not hole.started:
                continue
            maximum = hole.par + 5
            if handicap is not None:
                maximum = min(maximum, hole.par + 2 + received[hole.stroke_index])
            value = hole.most_likely if hole.picked_up else hole.strokes
            if value is None or (hole.picked_up and self.rules.picked_up == "net_double_bogey"):
                value = maximum
            total += min(value, maximum)
        return total

    def acceptable(self, score, in_force: int | None) -> bool:
        if not score.certified:
            return False
        if not score.holes:
            return score.adjusted_total is not None or in_force is not None
        started = sum(hole.started for hole in score.holes)
        if started == score.holes_in_round:
            return True
        if score.holes_in_round == 9:
            return False
        return started >= 10 and score.valid_reason is not None and in_force is not None

    def add(self, score, in_force: int | None) -> None:
        order = (score.played_on, score.sequence, score.key)
        if isinstance(score, PenaltyScore):
            if not self.values():
                self.outcomes[score.key] = Outcome("not_acceptable", index=self.index(), in_force=in_force)
                return
            value = min(self.values()) if score.kind == "low" else max(self.values())
            self.enter(score, "penalty", Fraction(value, 10), None, None, in_force)
            return
        if not self.acceptable(score, in_force):
            self.outcomes[score.key] = Outcome("not_acceptable", index=self.index(), in_force=in_force)
            return
        nine = score.holes_in_round == 9
        handicap = None if in_force is None else self.course_handicap(in_force, score.ratings, nine)
        gross = self.gross(score, handicap)
        rating, slope = Fraction(score.ratings.course_rating), score.ratings.slope_rating
        old_text = score.played_on < self.rules.editions[-1].in_force_from
        if nine:
            alone = Fraction(113, slope) * (gross - rating - Fraction(score.pcc) / 2)
            if in_force is None and self.rules.first_index_holes == 9:
                exact = 2 * alone
            elif in_force is None or (old_text and self.rules.editions[0].nine_holes == "pair"):
                if not self.held:
                    expects = self.rules.edition_for(score.played_on).nine_holes == "expected"
                    self.held.append({"order": order, "score": score, "alone": alone, "expects": expects})
                    self.outcomes[score.key] = Outcome("held", gross, index=self.index(), in_force=in_force)
                    return
                first = self.held.pop()
                self.outcomes[first["score"].key].state = "paired"
                exact = first["alone"] + alone
            elif old_text:
                exact = alone + Fraction(113, slope) * (score.ratings.par + handicap + 1 - rating)
            else:
                exact = alone + self.expected(in_force, 9)
        else:
            played = [hole for hole in score.holes if hole.started]
            count = len(played) if score.holes else 18
            share = Fraction(sum(hole.par for hole in played), score.ratings.par) if count < 18 else 1
            exact = Fraction(113, slope) * (gross - rating * share - Fraction(score.pcc * count, 18))
            if count < 18:
                exact += self.expected(in_force, 18 - count)
        reduction = self.overrides.get(score.key, self.reduction(in_force, exact))
        self.enter(score, "counts", exact, reduction, gross, in_force)

    def reduction(self, in_force: int | None, exact: Fraction) -> int:
        if in_force is None:
            return 0
        compared = Fraction(tenths(exact), 10) if self.rules.exceptional_from_rounded else exact
        gap = Fraction(in_force, 10) - compared
        return -20 if gap >= 10 else -10 if gap >= 7 else 0

    def enter(self, score, state, exact, reduction, gross, in_force) -> None:
        day = score.played_on
        low = self.low(19 if self.rules.cap_at_20th_score else 20)
        order = (day, score.sequence, score.key)
        self.facts.append(fact("differential", order=order, key=score.key, tenths=tenths(exact)))
        if reduction:
            self.facts.append(fact("amount", source=score.key, amount=reduction))
        self.recalculate(day, None if self.lifted(day) else low)
        self.facts.append(fact("scored", day=day))
        self.outcomes[score.key] = Outcome(
            state, gross, tenths(exact), low, reduction or 0, self.index(), in_force
        )

    def complete_held(self, day: date) -> None:
        in_force = self.level(day)
        if in_force is None:
            return
        for nine in [n for n in self.held if n["expects"]]:
            self.held.remove(nine)
            low = self.low()
            exact = nine["alone"] + self.expected(in_force, 9)
            key = nine["score"].key
            self.facts.append(fact("differential", order=nine["order"], key=key, tenths=tenths(exact)))
            self.recalculate(day, None if self.lifted(day) else low)
            before = self.outcomes[key]
            self.outcomes[key] = Outcome(
                "counts", before.gross, tenths(exact), low, 0, self.index(), before.in_force
            )


def slow_record(scores, actions, rules) -> SlowRecord:
    record = SlowRecord(rules)
    waiting = sorted(actions, key=lambda action: action.on)
    for day in sorted({score.played_on for score in scores}):
        for action in [a for a in waiting if a.on <= day]:
            waiting.remove(action)
            record.act(action)
            record.complete_held(action.on)
        in_force = record.level(day)
        of_day = [score for score in scores if score.played_on == day]
        for score in sorted(of_day, key=lambda s: (s.sequence, s.key)):
            record.add(score, in_force)
        record.complete_held(day)
    for action in waiting:
        record.act(action)
        record.complete_held(action.on)
    return record
