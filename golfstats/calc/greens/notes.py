"""Condition notes: plain words for what the figures say, and no more than they say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.figure import NORMAL_QUANTILE, Figure
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.effect.healing import default_decay, standard_rate
from golfstats.calc.greens.effect.posterior import MINIMUM_ROUNDS, GreensEffect
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types

MOSTLY = 0.5
"""The greens are named as most of it when they are likely to account for this share of what was lost."""
SURE = 0.8
"""Chance from which "mostly" is said, of the greens or of what else it was."""
WORTH_EXPLAINING = 0.5
"""Strokes lost in a round that need no explanation, nor get one."""
HARDLY = 0.25
"""When even the high end of the greens' part is no more than this share of what was lost, it was not the greens."""
USUAL_ROUNDS = 5
"""Rounds on undisturbed greens from which a player's usual putting is told."""
NEXT_TO_NOTHING = 0.5
"""Strokes a round that nobody notices: work whose cost may still be more has not been shown to cost nothing."""
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


def course_day_note(
    then: Sequence[WorkThen],
    disturbance: float,
    cost: Figure,
    effect: GreensEffect,
    course: str | None = None,
) -> str:
    """A note for a course on a day; empty where the greens are undisturbed.

    ``disturbance`` is the day's, ``cost`` the club's strokes a round under it; the course is home where left out.
    """
    if disturbance < WORTH_A_NOTE or not then:
        return ""
    return f"{_sentence(_what_happened(then))} {what_it_costs(told_of(then), cost, effect, course)}"


def round_note(
    then: Sequence[WorkThen],
    disturbance: float,
    cost: Figure,
    effect: GreensEffect,
    putting: AdjustedPutting,
    usual: float | None = None,
    course: str | None = None,
) -> str:
    """The course-day note and what of this round's putting was the greens; empty where undisturbed.

    ``usual`` is what this player gains by putting over as many holes on undisturbed greens. With it the
    greens are weighed against what was lost beyond that; without it, against the benchmark. Where it is unknown what
    such work costs on this course, nothing is put down to the greens.
    """
    note = course_day_note(then, disturbance, cost, effect, course)
    if not note or putting.raw.value is None:
        return note
    owed = putting.owed if effect.knows(told_of(then), course) else None
    return f"{note} {_sentence(_what_of_it_was_the_greens(putting.raw.value, owed, usual))}"


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


def told_of(then: Sequence[WorkThen]) -> str:
    """The kind of work whose disturbance is most of the day's: what the note speaks of."""
    return max(then, key=_weight).work.kind


def what_it_costs(
    kind: str, cost: Figure, effect: GreensEffect, course: str | None = None, when: str = "at this stage"
) -> str:
    """In a sentence what ``cost``, strokes a round, allows to say of such work on this course."""
    return _sentence(_what_it_costs(kind, cost, effect, course, when))


def _what_it_costs(kind: str, cost: Figure, effect: GreensEffect, course: str | None, when: str) -> str:
    sample = f"{_count(effect.rounds, 'round')} on {_count(effect.days, 'day')}"
    if not effect.enough:
        return (
            f"too few rounds on disturbed greens here to say what it costs ({sample}; {MINIMUM_ROUNDS} rounds are "
            f"the least): unknown, perhaps {_perhaps(effect, kind, course)} strokes a round at first"
        )
    if not effect.knows(kind, course):
        own = _count(effect.own_rounds(kind, course), "round")
        return (
            f"what such work costs on this course is unknown ({own} after it): going by the club's other rounds, "
            f"perhaps {_perhaps(effect, kind, course)} strokes a round at first"
        )
    if cost.value is None or cost.low is None or cost.high is None:
        return _why_no_size(effect, kind, course, sample)
    chance = None if effect.claims(kind, course) else effect.chance_it_costs(kind, course)
    own_rounds = effect.own_rounds(kind, course)
    return _what_it_costs_by_figure(cost.value, cost.low, cost.high, own_rounds, chance, when)


def _why_no_size(effect: GreensEffect, kind: str, course: str | None, sample: str) -> str:
    if effect.spell:
        return "what it costs cannot be told: in those days members lost more strokes from tee to green too"
    if effect.seen_without_work:
        return "what it costs cannot be told: on dates without work something is seen here too"
    if effect.claims(kind, course):
        return f"such work costs members here strokes; too few rounds to say how many ({sample})"
    return f"too few rounds to say what it costs ({sample})"


def _what_it_costs_by_figure(
    value: float, low: float, high: float, rounds: int, chance_if_not_claimed: float | None, when: str
) -> str:
    sample = f"from {_count(rounds, 'round')}"
    basis = f"90% interval {_zero(low)} to {_zero(high)}, {sample}"
    if high < 0:
        gained = f"90% interval {_zero(-high)} to {_zero(-low)}, {sample}"
        return f"{when} members here gain {_zero(-value)} putts a round, {gained}"
    if chance_if_not_claimed is not None:
        return (
            f"members' putts here do not show that work on the greens costs strokes: {when} {_zero(value)} "
            f"a round, {basis}, chance that it costs any {100 * chance_if_not_claimed:.0f}%"
        )
    if high <= NEXT_TO_NOTHING and round(low, 1) <= 0:
        return f"{when} it costs members here next to nothing ({_zero(value)} putts a round, {basis})"
    if low <= 0:
        return (
            f"whether it still costs members here strokes {when} cannot be told "
            f"({_zero(value)} putts a round, {basis})"
        )
    return f"{when} members here lose {_zero(value)} putts a round, {basis}"


def _weight(then: WorkThen) -> float:
    """How much of the day's disturbance is this work's, roughly: which work the note speaks of."""
    standard = np.array([then.days_before * standard_rate(then.work.kind)])
    return then.work.strength * (float(default_decay(standard)[0]) + 0.01)


def _perhaps(effect: GreensEffect, kind: str, course: str | None) -> str:
    low, high = effect.perhaps(kind, course)
    return f"{_zero(low)} to {_zero(high)}"


def _zero(value: float) -> str:
    """One decimal with a true minus sign, but none before a zero."""
    return f"{round(value, 1) + 0.0:.1f}".replace("-", "−")


def _what_of_it_was_the_greens(raw: float, owed: Figure | None, usual: float | None) -> str:
    putted = f"putting in this round: {_strokes(raw)} against the benchmark"
    lost = -raw
    if usual is not None:
        lost = usual - raw
        putted += f", {abs(lost):.1f} {'worse' if lost >= 0 else 'better'} than this player's usual"
    if owed is None:
        return f"{putted}; what part of it was the greens is unknown here"
    if owed.value is None or owed.low is None or owed.high is None:
        return f"{putted}; what part of it was the greens cannot be told"
    greens = (
        f"the greens account for {_zero(owed.value)} strokes, "
        f"90% interval {_zero(owed.low)} to {_zero(owed.high)}"
    )
    if lost <= WORTH_EXPLAINING:
        # Where the interval holds zero there is no "although": the greens may have had no part in it.
        return f"{putted}, although {greens}" if owed.low > 0 else f"{putted} ({greens})"
    return f"{putted}{_verdict(lost, owed.value, owed.low, owed.high, greens)}"


def _verdict(lost: float, value: float, low: float, high: float, greens: str) -> str:
    """What the interval of the part owed allows to say of strokes that were lost."""
    sd = max((high - low) / (2 * NORMAL_QUANTILE), 1e-9)
    most_of_it = float(special.ndtr((value - MOSTLY * lost) / sd))
    if high <= HARDLY * lost:
        return f": not the greens ({greens})"
    if most_of_it <= 1 - SURE:
        return f": mostly not the greens ({greens})"
    if most_of_it >= SURE:
        return f": mostly the greens ({greens})"
    if low > 0:
        return f": in part the greens, how much of it cannot be told ({greens})"
    return f"; whether the greens had a part in it cannot be told ({greens})"


def _strokes(gained: float) -> str:
    return f"{abs(gained):.1f} strokes {'gained' if gained >= 0 else 'lost'}"


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."
