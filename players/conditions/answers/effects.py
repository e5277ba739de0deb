"""What disturbed greens and other circumstances cost the members here, as last fitted by the worker."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext

from golfstats.calc import figure as calc
from golfstats.calc.greens.effect import posterior as fitted
from golfstats.calc.greens.notes import IN_THE_FIRST_DAYS, what_it_costs
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import spoken
from golfstats.sentences import Sentence, begun
from players.conditions.effect import stored_effect
from players.golf.answers import Figure, figure

DAYS_AFTER = (0, 7, 14, 21, 28)


@dataclass(frozen=True)
class Perhaps:
    """Where a cost may lie, known or not: strokes on the first days after such work, a round of the course or, where
    it is told of one green, each time that green is played.
    """

    low: float
    """Strokes; nine in ten lie above."""
    high: float
    """Strokes; nine in ten lie below."""


@dataclass(frozen=True)
class StrokesAfter:
    """What a round so many days after the work costs."""

    days_after: int
    """Days from the end of the work."""
    strokes: Figure
    """A round."""


@dataclass(frozen=True)
class StrokesBetween:
    """What a round on these days after the work costs."""

    first_day: int
    """Days from the end of the work."""
    last_day: int
    """Days from the end of the work, this one included."""
    strokes: Figure
    """Strokes that putting costs a round on these days after the work, beside the same golfers on undisturbed
    greens; season, weather and form are allowed for. Less is better.
    """


@dataclass(frozen=True, kw_only=True)
class EffectOfKind:
    """What one kind of green work costs on one course."""

    kind: str
    """Key of the kind of work."""
    words: str
    rounds: int
    """Rounds on this course while such work may be felt; kinds of coring speak for one another."""
    known: bool
    """Enough rounds after such work."""
    chance_it_costs: float | None
    """Chance that the first days after it cost strokes at all; null with too few rounds after it on this course, and
    where the same rounds were worse from tee to green too."""
    claimed: bool
    """The 90% interval of the first days lies above zero."""
    perhaps: Perhaps
    """What such work may cost on this course."""
    recovery_days: Figure
    """Days from the end of the work until the greens are back, averaged over the ways in which they may heal."""
    strokes_a_round: list[StrokesAfter] = up_to(5)
    """What a round costs on single days after the work."""
    windows: list[StrokesBetween] = up_to(4)
    """What a round costs over spans of days after the work."""


@dataclass(frozen=True)
class EffectOnCourse:
    """How far the effect is known on one course."""

    course: UUID
    rounds: int
    """Rounds on the course while work may be felt."""
    known: bool
    """Enough rounds after work."""


@dataclass(frozen=True)
class TeeToGreenControl:
    """The same model asked of the strokes before the green, which the greens cannot have cost."""

    strokes: float
    """A round."""
    low: float
    """Lower end of the 90% interval."""
    high: float
    """Upper end of the 90% interval."""


@dataclass(frozen=True)
class PlaceboDate:
    """What the model finds on a date without work: strokes a round."""

    on: dt.date
    """The date."""
    strokes: float
    """A round."""
    low: float
    """Lower end of the 90% interval."""
    high: float
    """Upper end of the 90% interval."""


@dataclass(frozen=True)
class Placebo:
    """The same model asked of dates without work."""

    claims: int
    """On how many of them it would claim an effect; one in twenty is chance. From two on nothing is claimed of work."""
    dates: list[PlaceboDate] = up_to(5)
    """The dates that were tried."""


@dataclass(frozen=True, kw_only=True)
class ConditionEffect:
    """What disturbed greens cost the members here, by the club's own putts."""

    fitted_at: dt.datetime | None
    """Null: nothing was fitted yet, and every figure says "too few"."""
    putts: int
    """Putts that it rests on."""
    rounds: int
    """Rounds that it rests on."""
    days: int
    """Days of play that it rests on."""
    enough: bool
    """Enough rounds before and after such work to say anything."""
    chance_it_costs: float | None
    """Of the work that most rounds felt, on the first of `courses`. Null with too few rounds, and where the same rounds
    were worse from tee to green too."""
    claimed: bool
    """The 90% interval lies above zero and nothing speaks against it."""
    at_full_disturbance: Figure
    """Strokes a round on greens that were just cored hard."""
    kinds: list[EffectOfKind] = up_to(20)
    """Each kind of work that was done in this club, and what it costs on the first of `courses`."""
    courses: list[EffectOnCourse] = up_to(4)
    """How far it is known on each course, the one with most rounds on disturbed greens first."""
    elsewhere: Perhaps
    """On a course without rounds after such work."""
    placebo: Placebo
    """What the same model finds for the usual work on dates without any, on the first of `courses`."""
    tee_to_green: TeeToGreenControl | None
    """Null where too few strokes before the green are recorded; where it lies above zero nothing is claimed."""
    cannot_tell: list[str]
    """What these rounds cannot tell apart."""


@dataclass(frozen=True)
class ContextEffect:
    """What one unit of a circumstance costs (positive) or saves."""

    key: str
    """Name for programs."""
    words: str
    strokes: Figure
    """A round, per unit of it."""


@dataclass(frozen=True)
class ContextEffects:
    """What else moves a round here, all in one model."""

    fitted_at: dt.datetime | None
    """When it was fitted; null before it ever was."""
    results: list[ContextEffect] = up_to(20)
    """One for each circumstance."""


def condition_effect(_: Asker, __: Query) -> ConditionEffect:
    effect = stored_effect()
    greens = effect.greens
    return ConditionEffect(
        fitted_at=effect.fitted_at,
        putts=greens.putts,
        rounds=greens.rounds,
        days=greens.days,
        enough=greens.enough,
        chance_it_costs=_chance(greens, greens.usual_kind, greens.home),
        claimed=greens.claimed,
        at_full_disturbance=strokes(greens.strokes_per_round(1.0)),
        kinds=[_kind(greens, kind, greens.home) for kind in greens.by_kind],
        courses=[
            EffectOnCourse(UUID(course), rounds, greens.knows(greens.usual_kind, course))
            for course, rounds in sorted(greens.by_course.items(), key=lambda one: (-one[1], one[0]))
        ],
        elsewhere=perhaps(*greens.perhaps(greens.usual_kind, fitted.ELSEWHERE)),
        placebo=_placebo(greens.placebo),
        tee_to_green=None
        if greens.tee_to_green is None
        else TeeToGreenControl(*_spread(*greens.tee_to_green)),
        cannot_tell=[spoken(one) for one in greens.cannot_tell],
    )


def context_effects(_: Asker, __: Query) -> ContextEffects:
    effect = stored_effect()
    return ContextEffects(
        effect.fitted_at,
        [ContextEffect(one.key, gettext(one.words), strokes(one.strokes)) for one in effect.contexts],
    )


@dataclass(frozen=True)
class CostOnCourse:
    """What green work costs on one course, in words and by kind."""

    words: str
    """Of the first days after the work that most rounds felt: what the members' putts allow to say of it here."""
    last_day: int
    """Of the first days, counted from the end of the work."""
    kinds: list[EffectOfKind]
    """Those that rounds on this course felt."""
    placebo: Placebo | None
    """Of the usual work; null where the dates are another course's."""
    usual_kind: str
    """The work that the placebo is of."""


def cost_on(course: UUID) -> CostOnCourse:
    """What green work costs on a course: nothing is taken over from where most rounds were played. One query."""
    greens, here = stored_effect().greens, str(course)
    usual = greens.usual_kind
    last_day = fitted.first_days(usual)[-1]
    cost = greens.strokes_between(0, last_day, usual, course=here)
    sentence = what_it_costs(usual, cost, greens, here, IN_THE_FIRST_DAYS)
    felt = [kind for kind in greens.by_kind if greens.own_rounds(kind, here)]
    return CostOnCourse(
        words=spoken(
            Sentence("{work}: {cost}.", work=begun(Sentence(work_types()[usual].words)), cost=sentence)
        ),
        last_day=last_day,
        kinds=[_kind(greens, kind, here) for kind in felt],
        placebo=_placebo(greens.placebo) if here == greens.home else None,
        usual_kind=usual,
    )


def strokes(estimate: calc.Figure) -> Figure:
    """Strokes a round, or of some rounds, with their sign."""
    return figure(estimate, of="round", signed=True)


def perhaps(low: float, high: float) -> Perhaps:
    return Perhaps(round(low, 2), round(high, 2))


def _kind(greens: fitted.GreensEffect, kind: str, course: str) -> EffectOfKind:
    single = [(days, days) for days in DAYS_AFTER]
    costs = [strokes(one) for one in greens.strokes_over([*single, *fitted.WINDOWS], kind, course=course)]
    return EffectOfKind(
        kind=kind,
        words=gettext(work_types()[kind].words),
        rounds=greens.own_rounds(kind, course),
        known=greens.knows(kind, course),
        chance_it_costs=_chance(greens, kind, course),
        claimed=greens.claims(kind, course),
        perhaps=perhaps(*greens.perhaps(kind, course)),
        recovery_days=figure(greens.recovery_days(kind), of="round"),
        strokes_a_round=[
            StrokesAfter(days, cost) for days, cost in zip(DAYS_AFTER, costs[: len(single)], strict=True)
        ],
        windows=[
            StrokesBetween(first, last, cost)
            for (first, last), cost in zip(fitted.WINDOWS, costs[len(single) :], strict=True)
        ],
    )


def _chance(greens: fitted.GreensEffect, kind: str, course: str) -> float | None:
    chance = greens.chance_it_costs(kind, course)
    return None if chance is None else round(chance, 3)


def _placebo(placebo: fitted.Placebo) -> Placebo:
    return Placebo(
        placebo.claims,
        [
            PlaceboDate(dt.date.fromordinal(day), *_spread(cost, sd))
            for day, cost, sd in zip(placebo.days, placebo.strokes, placebo.sd, strict=True)
        ],
    )


def _spread(mean: float, sd: float) -> tuple[float, float, float]:
    """Mean and ends of the 90% interval."""
    half = calc.NORMAL_QUANTILE * sd
    return round(mean, 2), round(mean - half, 2), round(mean + half, 2)
