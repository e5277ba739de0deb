"""Condition notes: plain words for what the figures say, and no more than they say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.figure import NORMAL_QUANTILE, Figure, decimals_within, percent
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.effect.healing import default_decay, standard_rate
from golfstats.calc.greens.effect.posterior import MINIMUM_ROUNDS, GreensEffect
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.sentences import Sentence, counted, joined, whole

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
AT_THIS_STAGE = Sentence("at this stage")
IN_THE_FIRST_DAYS = Sentence("in the first days")


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
    return joined(
        " ", [whole(_what_happened(then)), whole(what_it_costs(told_of(then), cost, effect, course))]
    )


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
    return joined(" ", [note, whole(_what_of_it_was_the_greens(putting.raw.value, owed, usual))])


def _what_happened(then: Sequence[WorkThen]) -> str:
    return joined("; ", [_work_then(each) for each in then])


def _work_then(then: WorkThen) -> Sentence:
    """``coring, medium tines on all greens 3 days before``."""
    return Sentence(
        "{work} on {greens} {when}",
        work=Sentence(work_types()[then.work.kind].words),
        greens=_which_greens(then.work),
        when=_when(then.days_before),
    )


def _which_greens(work: Work) -> str:
    if work.holes is None:
        return Sentence("all greens")
    holes = sorted(work.holes)
    return Sentence("green {hole}", hole=holes[0]) if len(holes) == 1 else counted(len(holes), "green")


def _when(days: int) -> str:
    if days == 0:
        return Sentence("that day")
    return Sentence("the day before") if days == 1 else Sentence("{days} days before", days=days)


def told_of(then: Sequence[WorkThen]) -> str:
    """The kind of work whose disturbance is most of the day's: what the note speaks of."""
    return max(then, key=_weight).work.kind


def what_it_costs(
    kind: str, cost: Figure, effect: GreensEffect, course: str | None = None, when: str = AT_THIS_STAGE
) -> str:
    """In a sentence what ``cost``, strokes a round, allows to say of such work on this course."""
    sample = Sentence(
        "{rounds} on {days}", rounds=counted(effect.rounds, "round"), days=counted(effect.days, "day")
    )
    if not effect.enough:
        return Sentence(
            "too few rounds on disturbed greens here to say what it costs ({sample}; {least} rounds are the least): "
            "unknown, perhaps {low} to {high} strokes a round at first",
            sample=sample,
            least=MINIMUM_ROUNDS,
            **_perhaps(effect, kind, course),
        )
    if not effect.knows(kind, course):
        return Sentence(
            "what such work costs on this course is unknown ({own} after it): going by the club's other rounds, "
            "perhaps {low} to {high} strokes a round at first",
            own=counted(effect.own_rounds(kind, course), "round"),
            **_perhaps(effect, kind, course),
        )
    if cost.value is None or cost.low is None or cost.high is None:
        return _why_no_size(effect, kind, course, sample)
    chance = None if effect.claims(kind, course) else effect.chance_it_costs(kind, course)
    own_rounds = effect.own_rounds(kind, course)
    return _what_it_costs_by_figure(cost.value, cost.low, cost.high, own_rounds, chance, when)


def _why_no_size(effect: GreensEffect, kind: str, course: str | None, sample: str) -> str:
    if effect.spell:
        return Sentence(
            "what it costs cannot be told: in those days members lost more strokes from tee to green too"
        )
    if effect.seen_without_work:
        return Sentence("what it costs cannot be told: on dates without work something is seen here too")
    if effect.claims(kind, course):
        return Sentence(
            "such work costs members here strokes; too few rounds to say how many ({sample})", sample=sample
        )
    return Sentence("too few rounds to say what it costs ({sample})", sample=sample)


def _what_it_costs_by_figure(
    value: float, low: float, high: float, rounds: int, chance_if_not_claimed: float | None, when: str
) -> str:
    sample = counted(rounds, "round")
    basis = _interval(low, high, sample)
    if high < 0:
        return Sentence(
            "{when} members here gain {putts} putts a round, {basis}",
            when=when,
            putts=_strokes(-value, low, high),
            basis=_interval(-high, -low, sample),
        )
    if chance_if_not_claimed is not None:
        return Sentence(
            "members' putts here do not show that work on the greens costs strokes: {when} {putts} a round, {basis}, "
            "chance that it costs any {percent}",
            when=when,
            putts=_strokes(value, low, high),
            basis=basis,
            percent=percent(chance_if_not_claimed),
        )
    template = Sentence("{when} members here lose {putts} putts a round, {basis}")
    if low <= 0:
        template = Sentence(
            "whether it still costs members here strokes {when} cannot be told ({putts} putts a round, {basis})"
        )
    if high <= NEXT_TO_NOTHING and round(low, 1) <= 0:
        template = Sentence("{when} it costs members here next to nothing ({putts} putts a round, {basis})")
    return Sentence(template, when=when, putts=_strokes(value, low, high), basis=basis)


def _interval(low: float, high: float, sample: Sentence) -> Sentence:
    return Sentence(
        "90% interval {low} to {high}, from {sample}",
        low=_strokes(low, low, high),
        high=_strokes(high, low, high),
        sample=sample,
    )


def _weight(then: WorkThen) -> float:
    """How much of the day's disturbance is this work's, roughly: which work the note speaks of."""
    standard = np.array([then.days_before * standard_rate(then.work.kind)])
    return then.work.strength * (float(default_decay(standard)[0]) + 0.01)


def _perhaps(effect: GreensEffect, kind: str, course: str | None) -> dict[str, str]:
    low, high = effect.perhaps(kind, course)
    return {"low": _strokes(low, low, high), "high": _strokes(high, low, high)}


def _strokes(value: float, low: float, high: float) -> str:
    """One decimal, or none within a wide interval; with a true minus sign, but none before a zero."""
    decimals = decimals_within(low, high, 1)
    return f"{round(value, decimals) + 0.0:.{decimals}f}".replace("-", "−")


def _what_of_it_was_the_greens(raw: float, owed: Figure | None, usual: float | None) -> str:
    strokes = f"{abs(raw):.1f}"
    putted = Sentence("putting in this round: {strokes} strokes lost against the benchmark", strokes=strokes)
    if raw >= 0:
        putted = Sentence(
            "putting in this round: {strokes} strokes gained against the benchmark", strokes=strokes
        )
    lost = -raw
    if usual is not None:
        lost = usual - raw
        beyond = f"{abs(lost):.1f}"
        putted = (
            Sentence("{putted}, {strokes} worse than this player's usual", putted=putted, strokes=beyond)
            if lost >= 0
            else Sentence(
                "{putted}, {strokes} better than this player's usual", putted=putted, strokes=beyond
            )
        )
    if owed is None:
        return Sentence("{putted}; what part of it was the greens is unknown here", putted=putted)
    if owed.value is None or owed.low is None or owed.high is None:
        return Sentence("{putted}; what part of it was the greens cannot be told", putted=putted)
    greens = Sentence(
        "the greens account for {strokes} strokes, 90% interval {low} to {high}",
        strokes=_strokes(owed.value, owed.low, owed.high),
        low=_strokes(owed.low, owed.low, owed.high),
        high=_strokes(owed.high, owed.low, owed.high),
    )
    if lost <= WORTH_EXPLAINING:
        # Where the interval holds zero there is no "although": the greens may have had no part in it.
        verdict = Sentence("{putted}, although {greens}") if owed.low > 0 else Sentence("{putted} ({greens})")
    else:
        verdict = _verdict(lost, owed.value, owed.low, owed.high)
    return Sentence(verdict, putted=putted, greens=greens)


def _verdict(lost: float, value: float, low: float, high: float) -> Sentence:
    """What the interval of the part owed allows to say of strokes that were lost."""
    sd = max((high - low) / (2 * NORMAL_QUANTILE), 1e-9)
    most_of_it = float(special.ndtr((value - MOSTLY * lost) / sd))
    if high <= HARDLY * lost:
        return Sentence("{putted}: not the greens ({greens})")
    if most_of_it <= 1 - SURE:
        return Sentence("{putted}: mostly not the greens ({greens})")
    if most_of_it >= SURE:
        return Sentence("{putted}: mostly the greens ({greens})")
    if low > 0:
        return Sentence("{putted}: in part the greens, how much of it cannot be told ({greens})")
    return Sentence("{putted}; whether the greens had a part in it cannot be told ({greens})")
