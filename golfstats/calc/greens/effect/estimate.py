"""Estimates what green work costs from a club's putts, and asks the same of dates without work.

The rounds and their surplus come from :mod:`golfstats.calc.greens.effect.surplus`, the model is
:mod:`golfstats.calc.greens.effect.event_study`, the answer
:class:`golfstats.calc.greens.effect.posterior.GreensEffect`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.greens.effect.caveats import SPELL, WITHOUT_WORK, caveats
from golfstats.calc.greens.effect.controls import placebo_dates, tee_to_green_control
from golfstats.calc.greens.effect.event_study import ROUGH_SDS, EventStudy, Study
from golfstats.calc.greens.effect.healing import (
    STANDARD_DAYS,
    Coefficients,
    default_decay,
    standard_rate,
)
from golfstats.calc.greens.effect.posterior import (
    MINIMUM_DAYS,
    MINIMUM_DISTURBANCE,
    MINIMUM_ROUNDS,
    GreensEffect,
    Placebo,
    too_few_effect,
    widened,
)
from golfstats.calc.greens.effect.putts import Putts
from golfstats.calc.greens.effect.recovery import recovery_times
from golfstats.calc.greens.effect.surplus import HolePutts, RoundPutts, first_putts_by_distance, round_putts
from golfstats.calc.greens.surface.disturbance import Work, days_since, surface_disturbance
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Bools, Floats, Ints

MATTERS_DAYS, MATTERS_SEVERITY = 5.0, 0.3
"""Work that heals no sooner and disturbs no less than this makes healing weeks; lighter work is always about."""
MOST_ROUNDS_OF_ONE = 3.0
"""No player counts for more than so many times the median player's rounds."""
MOST_COURSE_DAYS = 1200
"""So many course-days are fitted: the latest on courses with work, then the latest elsewhere, which serve as controls.
A fit's time grows with the cube of their number."""


@dataclass(frozen=True)
class Felt:
    """What each round's greens felt. Columns by round."""

    work: Floats
    """Loadings of the fitted coefficients, rounds × coefficients."""
    decay: Floats
    disturbance: Floats
    kinds: Mapping[str, Bools]
    """By kind: rounds on greens still healing from it."""
    healing: Bools
    """Rounds on any course in the healing weeks of work that matters."""


def fit_effect(
    putts: Putts,
    works: Mapping[int, Sequence[Work]],
    names: Sequence[str] | None = None,
    tee_to_green: Floats | None = None,
) -> GreensEffect:
    """What the green work of each course number costs; ``names`` are the courses' by number, else the number.

    ``tee_to_green`` are the strokes lost before the green over 18 holes by round number of the putts, NaN where not
    recorded: a control, see :mod:`golfstats.calc.greens.effect.controls`.
    With too few rounds or days on disturbed greens nothing is fitted and every figure says "too few".
    """
    try:
        rounds, holes = round_putts(putts)
    except ValueError:
        return too_few_effect(0, 0, len(putts))
    rounds, holes = _latest(rounds, holes, [number for number, some in works.items() if some])
    disturbance = _disturbance(rounds, holes, works)
    disturbed = disturbance >= MINIMUM_DISTURBANCE
    days = len(np.unique(np.stack([rounds.course, rounds.day], axis=1)[disturbed], axis=0))
    if int(np.sum(disturbed)) < MINIMUM_ROUNDS or days < MINIMUM_DAYS:
        return too_few_effect(int(np.sum(disturbed)), days, len(putts))

    called = {number: str(number) if names is None else names[number] for number in works}
    worked = {number: list(some) for number, some in works.items() if some}
    by_course = {
        called[number]: int(np.sum(disturbed & (rounds.course == number))) for number in sorted(worked)
    }
    by_course = {course: count for course, count in by_course.items() if count}
    kinds = tuple(sorted({work.kind for some in worked.values() for work in some}))
    coefficients = Coefficients(kinds, tuple(by_course))
    felt = _felt(rounds, holes, worked, called, coefficients, disturbance)
    equations = EventStudy(_study(rounds, felt))
    priors = {rough_sd: coefficients.prior_covariance(rough_sd) for rough_sd in ROUGH_SDS}
    posterior, solved, noise = equations.posterior(priors)
    doubt = posterior.covariance + coefficients.late_doubt()
    mean, covariance = widened(posterior.mean, doubt, kinds, tuple(by_course))
    effect = GreensEffect(
        rounds=int(np.sum(disturbed)),
        days=days,
        putts=len(putts),
        by_kind=_rounds_by_kind(felt),
        by_course=by_course,
        by_course_and_kind={
            course: _rounds_by_kind(felt, rounds.course == number)
            for number, course in called.items()
            if course in by_course
        },
        mean=mean,
        covariance=covariance,
        day_sd=posterior.day_sd,
        noise_sd=posterior.noise_sd,
        first_putts=first_putts_by_distance(holes.first_ft),
        recovery={},
        placebo=Placebo((), (), ()),
        tee_to_green=None,
        cannot_tell=caveats(worked, rounds.day, rounds.course, felt.kinds),
    )
    home = next((number for number, course in called.items() if course == effect.home), 0)
    prior = priors[solved[0].setting.rough_sd]
    control = None if tee_to_green is None else tee_to_green[rounds.round]
    return _less_recovery_if_confounded(
        replace(
            effect,
            recovery=recovery_times(effect, coefficients, solved, priors),
            placebo=placebo_dates(effect, rounds, equations.study, home, solved[0], noise, prior),
            tee_to_green=None
            if control is None
            else tee_to_green_control(effect, equations, control, priors),
        )
    )


def _rounds_by_kind(felt: Felt, among: Bools | None = None) -> dict[str, int]:
    """Rounds on greens that healed from each kind of work, all of them or some."""
    return {kind: int(np.sum(of if among is None else of & among)) for kind, of in felt.kinds.items()}


def _less_recovery_if_confounded(effect: GreensEffect) -> GreensEffect:
    """Healing is not told of where a spell of form, or dates without work, look the same."""
    seen = ((SPELL,) if effect.spell else ()) + ((WITHOUT_WORK,) if effect.seen_without_work else ())
    return replace(effect, recovery={}, cannot_tell=(*seen, *effect.cannot_tell)) if seen else effect


def _latest(rounds: RoundPutts, holes: HolePutts, worked: Sequence[int]) -> tuple[RoundPutts, HolePutts]:
    """The rounds of no more course-days than a fit can take."""
    elsewhere = ~np.isin(rounds.course, worked)
    places, place = np.unique(
        np.stack([elsewhere, -rounds.day, rounds.course], axis=1), axis=0, return_inverse=True
    )
    if len(places) <= MOST_COURSE_DAYS:
        return rounds, holes
    keep = place.ravel() < MOST_COURSE_DAYS
    row = np.cumsum(keep) - 1
    kept = holes.select(keep[holes.row])
    return rounds.select(keep), replace(kept, row=row[kept.row])


RowsOf = Callable[[int, Sequence[Work], Ints, Ints], Floats]
"""From a course, its works, days and holes to rows of columns."""


def _mean_over_holes(
    rounds: RoundPutts, holes: HolePutts, works: Mapping[int, Sequence[Work]], columns: int, rows: RowsOf
) -> Floats:
    """Mean over each round's holes of what ``rows`` says of its greens, rounds × columns."""
    means = np.zeros((len(rounds), columns))
    for course, some in works.items():
        here = np.flatnonzero(rounds.course == course)
        if not len(here) or not some:
            continue
        if all(work.holes is None for work in some):
            means[here] = rows(course, some, rounds.day[here], np.ones(len(here), dtype=np.int64))
            continue
        of_course = holes.select(rounds.course[holes.row] == course)
        by_hole = rows(course, some, rounds.day[of_course.row], of_course.hole)
        for column in range(columns):
            sums = np.bincount(of_course.row, weights=by_hole[:, column], minlength=len(rounds))
            means[here, column] = (sums / rounds.holes)[here]
    return means


def _disturbance(rounds: RoundPutts, holes: HolePutts, works: Mapping[int, Sequence[Work]]) -> Floats:
    def of_greens(_: int, some: Sequence[Work], day: Ints, hole: Ints) -> Floats:
        return surface_disturbance(some, day, hole)[:, None]

    return _mean_over_holes(rounds, holes, works, 1, of_greens)[:, 0]


def _felt(
    rounds: RoundPutts,
    holes: HolePutts,
    works: Mapping[int, Sequence[Work]],
    called: Mapping[int, str],
    coefficients: Coefficients,
    disturbance: Floats,
) -> Felt:
    kinds = coefficients.kinds

    def of_greens(course: int, some: Sequence[Work], day: Ints, hole: Ints) -> Floats:
        if called[course] not in coefficients.courses:
            return np.zeros((len(day), coefficients.size))
        return coefficients.of_greens(some, day, hole, called[course])

    def decays(_: int, some: Sequence[Work], day: Ints, hole: Ints) -> Floats:
        """Default decay left of all works, then by kind whether its healing is felt, and of what matters."""
        since = days_since(some, day, hole)
        standard = since * np.array([standard_rate(work.kind) for work in some])
        left = default_decay(standard)
        felt = (standard < STANDARD_DAYS).astype(np.float64)
        of_kind = [
            np.max(felt[:, [work.kind == kind for work in some]], axis=1, initial=0.0) for kind in kinds
        ]
        return np.column_stack([left @ np.array([work.strength for work in some]), *of_kind])

    columns = _mean_over_holes(rounds, holes, works, 1 + len(kinds), decays)
    return Felt(
        work=_mean_over_holes(rounds, holes, works, coefficients.size, of_greens),
        decay=columns[:, 0],
        disturbance=disturbance,
        kinds={kind: columns[:, 1 + number] > 0 for number, kind in enumerate(kinds)},
        healing=_healing_weeks(works, rounds.day),
    )


def matters(work: Work) -> bool:
    """Work whose healing takes weeks, not days."""
    return work_types()[work.kind].recovery_days >= MATTERS_DAYS and work.strength >= MATTERS_SEVERITY


def _healing_weeks(works: Mapping[int, Sequence[Work]], day: Ints) -> Bools:
    weeks = np.zeros(len(day), dtype=np.bool_)
    for some in works.values():
        for work in filter(matters, some):
            weeks |= (day >= work.start) & (day <= work.end + work_types()[work.kind].recovery_days)
    return weeks


def _study(rounds: RoundPutts, felt: Felt) -> Study:
    played = np.bincount(rounds.player)
    cap = MOST_ROUNDS_OF_ONE * float(np.median(played[played > 0]))
    return Study(
        player=rounds.player,
        course=rounds.course,
        day=rounds.day,
        weight=rounds.holes / 18 * np.minimum(1.0, cap / played[rounds.player]),
        surplus=rounds.surplus,
        work=felt.work,
        decay=felt.decay,
        healing=felt.healing.astype(np.float64),
        speed=_speed(rounds, felt),
    )


def _speed(rounds: RoundPutts, felt: Felt) -> Floats:
    """Feet above the course's usual; 0 while greens heal, when a change of speed is part of what the work costs."""
    known = np.isfinite(rounds.speed_ft) & ~felt.healing & (felt.disturbance < MINIMUM_DISTURBANCE)
    above = np.zeros(len(rounds))
    for course in np.unique(rounds.course[known]):
        here = known & (rounds.course == course)
        above[here] = rounds.speed_ft[here] - np.mean(rounds.speed_ft[here])
    return above
