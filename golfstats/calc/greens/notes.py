"""Condition notes: plain words for what the figures say, and no more than they say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.effect import CLAIM, GreensEffect
from golfstats.calc.greens.work_types import work_types

MOSTLY = 0.5
"""The greens are named as most of it when they account for at least this share of what was lost."""
USUAL_ROUNDS = 5
"""Rounds on undisturbed greens from which a player's usual putting is told."""
WORTH_A_NOTE = 0.05
"""Greens disturbed less than this go without a note."""


@dataclass(frozen=True)
class WorkThen:
    """Work that a course-day still feels: how long ago it ended (0 while it lasts) and on how many greens."""

    work: Work
    days_before: int

    @classmethod
    def on(cls, works: Sequence[Work], day: int, longest_days: int = 120) -> list[WorkThen]:
        """Works begun by ``day`` that ended no longer before it than this, latest first."""
        begun = [cls(work, max(day - work.end, 0)) for work in works if work.start <= day]
        recent = [then for then in begun if then.days_before <= longest_days]
        return sorted(recent, key=lambda then: then.days_before)


def course_day_note(then: Sequence[WorkThen], disturbance: float, cost: Figure, effect: GreensEffect) -> str:
    """A note for a course on a day; empty where the greens are undisturbed.

    ``disturbance`` is the day's, ``cost`` the club's strokes a round under it.
    """
    if disturbance < WORTH_A_NOTE or not then:
        return ""
    return f"{_sentence(_what_happened(then))} {_sentence(_what_it_costs(cost, effect))}"


def round_note(
    then: Sequence[WorkThen],
    disturbance: float,
    cost: Figure,
    effect: GreensEffect,
    putting: AdjustedPutting,
    usual: float | None = None,
) -> str:
    """The course-day note and what of this round's putting was the greens; empty where undisturbed.

    ``usual`` is what this player gains by putting over as many holes on undisturbed greens. With it the
    greens are weighed against what was lost beyond that; without it, against the benchmark.
    """
    note = course_day_note(then, disturbance, cost, effect)
    if not note or putting.raw.value is None:
        return note
    return f"{note} {_sentence(_what_of_it_was_the_greens(putting.raw.value, putting.owed, usual))}"


def _what_happened(then: Sequence[WorkThen]) -> str:
    return "; ".join(
        f"{work_types()[each.work.kind].words} on {_which_greens(each.work)} {_when(each.days_before)}"
        for each in then
    )


def _which_greens(work: Work) -> str:
    if work.holes is None:
        return "all greens"
    holes = sorted(work.holes)
    return f"green {holes[0]}" if len(holes) == 1 else f"{len(holes)} greens"


def _when(days: int) -> str:
    if days == 0:
        return "that day"
    return "the day before" if days == 1 else f"{days} days before"


def _what_it_costs(cost: Figure, effect: GreensEffect) -> str:
    if cost.value is None or cost.low is None or cost.high is None:
        return (
            f"too few rounds on disturbed greens here to say what it costs "
            f"({_count(effect.rounds, 'round')} on {_count(effect.days, 'day')}; {cost.minimum_n} rounds are the least)"
        )
    basis = f"90% interval {cost.low:.1f} to {cost.high:.1f}, from {_count(cost.n, 'round')}"
    if effect.probability >= CLAIM and cost.high < 0:
        gained = f"90% interval {-cost.high:.1f} to {-cost.low:.1f}, from {_count(cost.n, 'round')}"
        return f"at this stage members here gain {-cost.value:.1f} putts a round, {gained}"
    if not effect.claimed:
        return (
            f"members' putts here do not show that work on the greens costs strokes: "
            f"at this stage {cost.value:.1f} a round, {basis}, "
            f"chance of any effect {100 * effect.probability:.0f}%"
        )
    if round(cost.value, 1) <= 0:
        return (
            f"at this stage it costs members here next to nothing ({cost.value:.1f} putts a round, {basis})"
        )
    return f"at this stage members here lose {cost.value:.1f} putts a round, {basis}"


def _what_of_it_was_the_greens(raw: float, owed: Figure, usual: float | None) -> str:
    putted = f"putting in this round: {_strokes(raw)} against the benchmark"
    lost = -raw
    if usual is not None:
        lost = usual - raw
        putted += f", {abs(lost):.1f} {'worse' if lost >= 0 else 'better'} than this player's usual"
    if owed.value is None or owed.low is None or owed.high is None:
        return f"{putted}; too few rounds to say what part was the greens"
    greens = (
        f"the greens account for {owed.value:.1f} strokes, 90% interval {owed.low:.1f} to {owed.high:.1f}"
    )
    if lost <= 0:
        return f"{putted}, although {greens}"
    if owed.low <= 0:
        return f"{putted}; whether the greens had a part in it cannot be told ({greens})"
    verdict = "mostly the greens" if owed.value >= MOSTLY * lost else "mostly not the greens"
    return f"{putted}: {verdict} ({greens})"


def _strokes(gained: float) -> str:
    return f"{abs(gained):.1f} strokes {'gained' if gained >= 0 else 'lost'}"


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."
