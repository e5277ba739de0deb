"""For staff, what green work cost; for everybody, how to putt on the greens of the day."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from pydantic import Field

from courses.greens import condition as courses
from courses.greens.answers import KnownFrom
from courses.greens.models import GreenWork
from courses.layout.models import Course
from golfstats.calc import figure as calc
from golfstats.calc.greens.adjusted import expected_putts_today
from golfstats.calc.greens.around_the_green import (
    LONGEST_YARDS,
    NEAR_LIES,
    NearShots,
    disturbed_days,
    putting_against_chipping,
)
from golfstats.calc.greens.effect.posterior import MINIMUM_ROUNDS, SIZE_SD, GreensEffect
from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import Lie
from golfstats.ground.answers import OneOf, up_to
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Query
from players.conditions.answers.effects import Perhaps, perhaps, strokes
from players.conditions.effect import stored_effect
from players.conditions.healing import Back, back
from players.conditions.surface import mean_loading
from players.golf.answers import Chance, Figure, chance, figure
from players.golf.benchmarks import benchmark_for
from players.rounds.models import Round, Shot

PUTTER = "putter"
EXPECTED_AT_FT = (3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0)
_NEAR = (
    "lie",
    "distance",
    "club_used",
    "figures__strokes_gained",
    "played_hole__number",
    "played_hole__round_id",
)
KnownFromWord = Annotated[str, OneOf(KnownFrom, "RecoveryKnownFrom")]


class OnQuery(Query):
    on: Day | None = Field(None, description="today where it is left out")


@dataclass(frozen=True)
class CostlyWork:
    """A piece of green work."""

    id: UUID
    kind: str
    """Key of the kind of work."""
    words: str
    starts_on: dt.date
    ends_on: dt.date


@dataclass(frozen=True)
class GreensBack:
    """The day on which the greens were back."""

    on: dt.date
    """The likeliest day."""
    earliest: dt.date | None
    """Of the 90% interval; null where only the usual is known."""
    latest: dt.date | None
    """Of the 90% interval; null where only the usual is known."""
    known_from: KnownFromWord
    """Whether from the club's own putts or from what is usual."""
    chance: Chance | None
    """That the first rounds from then on lose less than a stroke to these greens; null where too little is known."""


@dataclass(frozen=True)
class GreenWorkCost:
    """What a piece of green work cost the members so far, and when the greens were back."""

    work: CostlyWork
    """Which work."""
    rounds: int
    """Played on the course from its first day on while it may be felt."""
    known: bool
    """Enough rounds after such work on this course."""
    perhaps: Perhaps
    """What such work may cost, known or not."""
    strokes: Figure
    """Strokes that the work cost all members together so far: only what this work alone accounts for."""
    first_day: Figure
    """Strokes a round just after the work."""
    recovery_days: Figure
    """From the last day of the work until the greens were back, by this club's putts."""
    usual_recovery_days: float
    back: GreensBack
    """When the greens were, or will be, back."""


@dataclass(frozen=True)
class AroundTheGreen:
    """From just off a disturbed green, putting against chipping."""

    what: str
    """From which lie and distance."""
    strokes_gained: Figure
    """Strokes gained a shot by putting instead of chipping from just off a disturbed green, from the same lie
    and distance by the same players. Above zero putting is better.
    """


@dataclass(frozen=True)
class BenchmarkName:
    """A benchmark by name."""

    key: str
    """What to ask for, to compare with this golfer."""
    name: str
    """What the golfer is called."""


@dataclass(frozen=True)
class ExpectedPuttsFrom:
    """Expected putts from one distance."""

    distance_ft: float
    """Feet to the hole."""
    usual: float
    """On undisturbed greens."""
    today: Figure
    """With what the day's surface costs the club's usual member."""


@dataclass(frozen=True)
class ExpectedPutts:
    """Expected putts by distance, on undisturbed greens and on those of a day."""

    day: dt.date
    """The day whose greens are meant."""
    benchmark: BenchmarkName
    results: list[ExpectedPuttsFrom] = up_to(9)
    """By distance, the shortest first."""


def green_work_costs(asker: Asker, works: Sequence[GreenWork], _: Query) -> list[GreenWorkCost]:
    """Two queries, however many pieces of work."""
    if not works:
        return []
    effect, felt = stored_effect().greens, [courses.days_felt(row) for row in works]
    played = Round.objects.filter(
        tee_set__course_id__in={row.course_id for row in works},
        played_on__range=(
            min(first for first, _ in felt),
            min(max(last for _, last in felt), asker.today),
        ),
    )
    by_course: dict[UUID, list[tuple[dt.date, int | None]]] = defaultdict(list)
    columns = ("tee_set__course_id", "played_on", "figures__holes_played")
    for course, day, holes in played.values_list(*columns):
        by_course[course].append((day, holes))
    return [
        _cost(effect, row, [one for one in by_course[row.course_id] if first <= one[0] <= last])
        for row, (first, last) in zip(works, felt, strict=True)
    ]


def _cost(
    effect: GreensEffect, row: GreenWork, rounds: Sequence[tuple[dt.date, int | None]]
) -> GreenWorkCost:
    """``rounds`` are the days and holes of those played on the course while the work was felt."""
    course, work, usual = str(row.course_id), courses.work_of(row), work_types()[row.kind]
    days = np.array([day.toordinal() for day, _ in rounds], dtype=np.int64)
    full_rounds = np.array([(holes or 18) / 18 for _, holes in rounds], dtype=np.float64)
    share_of_greens = len(row.holes) / row.course.hole_count if row.holes else 1.0
    recovery = effect.recovery_days(row.kind)
    return GreenWorkCost(
        work=CostlyWork(row.id, row.kind, gettext(usual.words), row.starts_on, row.ends_on),
        rounds=len(days),
        known=effect.knows(row.kind, course),
        perhaps=perhaps(*effect.perhaps(row.kind, course)),
        strokes=strokes(_all_rounds(effect, work, days, full_rounds * share_of_greens, course)),
        first_day=strokes(effect.strokes_after(0, row.kind, work.strength, course)),
        recovery_days=figure(recovery, of="round"),
        usual_recovery_days=usual.recovery_days,
        back=_back(recovery, row.ends_on, back(effect, row)),
    )


def _all_rounds(effect: GreensEffect, work: Work, days: Ints, weight: Floats, course: str) -> calc.Figure:
    """Strokes that the work cost over all these rounds together; a round of nine holes weighs a half.

    Given where the doubt is no more than what a single round may have, for each of them.
    """
    since = np.maximum(days - work.end, 0).astype(np.float64)
    loading: Floats = weight @ effect.after(since, work.kind, work.strength, course)
    if len(days) and not effect.knows(work.kind, course):
        return calc.Figure.too_few(effect.own_rounds(work.kind, course), MINIMUM_ROUNDS, Unit.STROKES)
    return effect.strokes(loading, Unit.STROKES, SIZE_SD * float(np.sum(weight)))


def _back(days: calc.Figure, last_day: dt.date, estimate: Back) -> GreensBack:
    """The day the greens were back, with its interval; the usual day where the club's putts cannot tell."""
    likely = chance(estimate.chance)
    if days.low is None or days.high is None:
        return GreensBack(estimate.on, None, None, KnownFrom.USUAL, likely)
    earliest, latest = (last_day + dt.timedelta(days=round(number)) for number in (days.low, days.high))
    return GreensBack(estimate.on, earliest, latest, KnownFrom.CLUB, likely)


def expected_putts(asker: Asker, of_courses: Sequence[Course], query: OnQuery) -> list[ExpectedPutts]:
    """By the club's benchmark. Two queries, however many courses."""
    day, benchmark = query.on or asker.today, benchmark_for(asker.club.benchmark)
    effect = stored_effect().greens
    work = courses.confirmed_work([course.id for course in of_courses], day, day)
    usual = benchmark.expected(
        np.full(len(EXPECTED_AT_FT), Lie.GREEN, dtype=np.int64), np.array(EXPECTED_AT_FT) / FEET_PER_YARD
    )
    answers = []
    for course in of_courses:
        felt = courses.possibly_felt(work.get(course.id, []), day)
        surface = mean_loading(effect, felt, day, list(range(1, course.hole_count + 1)), course.id)
        results = [
            ExpectedPuttsFrom(feet, round(putts, 3), figure(_today(effect, feet, putts, surface), of="round"))
            for feet, putts in zip(EXPECTED_AT_FT, usual.tolist(), strict=True)
        ]
        answers.append(ExpectedPutts(day, BenchmarkName(benchmark.key, benchmark.name), results))
    return answers


def _today(effect: GreensEffect, feet: float, putts: float, surface: Floats) -> calc.Figure:
    if not np.any(surface):
        return calc.Figure(putts, putts, putts, effect.rounds, 0, Unit.PUTTS)
    return expected_putts_today(effect, feet, putts, surface)


def around_the_green(_: Asker, of_courses: Sequence[Course], __: Query) -> list[AroundTheGreen]:
    """By the members' own shots whose club is recorded. Four queries, however many courses."""
    ids = [course.id for course in of_courses]
    recovery = courses.recovery_by_kind()
    work = {key: [courses.work_of(row) for row in rows] for key, rows in courses.confirmed_work(ids).items()}
    played = _rounds_on_disturbed_greens(work, recovery)
    near: dict[UUID, list[Any]] = defaultdict(list)
    shots = Shot.objects.filter(
        played_hole__round_id__any_of=list(played),
        lie__in=[lie.word for lie in NEAR_LIES],
        distance__lte=LONGEST_YARDS,
        figures__strokes_gained__isnull=False,
    ).exclude(club_used="")
    for shot in shots.values_list(*_NEAR, named=True):
        near[played[shot.played_hole__round_id].tee_set__course_id].append(shot)
    what = gettext(
        "putting minus chipping from off the green, within {yards} yd of the hole, while the green is disturbed"
    ).format(yards=f"{LONGEST_YARDS:.0f}")
    return [
        AroundTheGreen(
            what,
            figure(
                putting_against_chipping(_near_shots(near[key], played, work.get(key, []), recovery)),
                of="shot",
                signed=True,
            ),
        )
        for key in ids
    ]


def _rounds_on_disturbed_greens(
    work: Mapping[UUID, Sequence[Work]], recovery: Mapping[str, float]
) -> dict[UUID, Any]:
    """Those that may tell something, by their ids: of a club's rounds a few, so that few shots have to be read."""
    days = {
        course: {dt.date.fromordinal(day) for day in disturbed_days(works, recovery).tolist()}
        for course, works in work.items()
    }
    rounds = Round.objects.filter(
        tee_set__course_id__in=list(days), played_on__in=set().union(*days.values())
    )
    columns = ("id", "player_id", "played_on", "tee_set__course_id")
    return {
        one.id: one
        for one in rounds.values_list(*columns, named=True)
        if one.played_on in days[one.tee_set__course_id]
    }


def _near_shots(
    shots: Sequence[Any], rounds: Mapping[UUID, Any], work: Sequence[Work], recovery: Mapping[str, float]
) -> NearShots:
    of = [rounds[shot.played_hole__round_id] for shot in shots]
    day = np.array([round_.played_on.toordinal() for round_ in of], dtype=np.int64)
    hole = np.array([shot.played_hole__number for shot in shots], dtype=np.int64)
    return NearShots(
        player=_numbered([round_.player_id for round_ in of]),
        round=_numbered([round_.id for round_ in of]),
        lie=np.array([Lie.of(shot.lie) for shot in shots], dtype=np.int64),
        distance=np.array([shot.distance for shot in shots], dtype=np.float64),
        putted=np.array([shot.club_used.lower() == PUTTER for shot in shots], dtype=np.bool_),
        strokes_gained=np.array([shot.figures__strokes_gained for shot in shots], dtype=np.float64),
        disturbance=surface_disturbance(work, day, hole, recovery),
    )


def _numbered(values: Sequence[UUID]) -> Ints:
    numbers = {value: number for number, value in enumerate(sorted(set(values)))}
    return np.array([numbers[value] for value in values], dtype=np.int64)
