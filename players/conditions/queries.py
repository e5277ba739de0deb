"""What endpoints, GraphQL and pages ask about conditions. Every answer takes a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID

import numpy as np

from courses import queries as courses
from courses.models import Course, GreenWork
from golfstats.calc.figure import Figure
from golfstats.calc.greens import planner
from golfstats.calc.greens.adjusted import AdjustedPutting, expected_putts_today
from golfstats.calc.greens.around_the_green import (
    LONGEST_YARDS,
    NEAR_LIES,
    NearShots,
    putting_against_chipping,
)
from golfstats.calc.greens.disturbance import Work, share_left, surface_disturbance
from golfstats.calc.greens.effect import MIDDLES_FT, GreensEffect
from golfstats.calc.greens.work_types import work_types
from golfstats.calc.record import Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.conditions.adjusting import adjust, adjust_rounds
from players.conditions.effect import ClubEffect, stored_effect
from players.conditions.surface import RoundSurface, disturbance_by_component_on, round_surfaces
from players.models import Round, RoundNote, Shot
from players.queries.windows import RoundWindow, rounds_in

PUTTER = "putter"
EXPECTED_AT_FT = (3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0)


@dataclass(frozen=True)
class RoundCondition:
    """A round on the greens of its day: the note, and its putting with and without them."""

    surface: RoundSurface
    note: str
    putting: AdjustedPutting | None
    """``None`` where no putt is recorded shot by shot, or on temporary greens."""


@dataclass(frozen=True)
class AdjustedWindow:
    """A player's rounds of a window, oldest first, and the means over those with known putting."""

    rounds: Sequence[RoundCondition]
    putting: AdjustedPutting

    @property
    def left_out(self) -> int:
        """Rounds without recorded putts, or on temporary greens."""
        return sum(one.putting is None for one in self.rounds)


@dataclass(frozen=True)
class ExpectedPutts:
    """Expected putts from one distance."""

    distance_ft: float
    usual: float
    """On undisturbed greens."""
    today: Figure


@dataclass(frozen=True)
class WorkCost:
    """What one piece of green work cost the members so far, and when the greens were back."""

    rounds: int
    """Rounds played on the course from its first day on while it may be felt."""
    strokes: Figure
    """All members together, positive costs. Only what this work alone accounts for."""
    first_day: Figure
    """Strokes a round just after the work."""
    recovery_days: Figure
    """From the last day of the work until the greens were back, by this club's putts."""
    usual_recovery_days: float
    own_kind: bool
    """By putts after this kind of work alone; otherwise by those after all work."""


def round_condition(round_id: UUID) -> RoundCondition | None:
    """One round's condition; ``None`` if there is no such round in the club."""
    found = _round_conditions([round_id], stored_effect().greens)
    return found[0] if found else None


def round_conditions(round_ids: Iterable[UUID]) -> dict[UUID, RoundCondition]:
    """The condition of each of these rounds, with as many queries as for one."""
    found = _round_conditions(round_ids, stored_effect().greens)
    return {condition.surface.round_id: condition for condition in found}


def adjusted_windows(players: Iterable[UUID], window: RoundWindow) -> dict[UUID, AdjustedWindow]:
    """Condition-adjusted putting of each player over his rounds in the window."""
    effect = stored_effect().greens
    wanted = list(players)
    by_player: dict[UUID, list[RoundCondition]] = {player: [] for player in wanted}
    for condition in _round_conditions(rounds_in(wanted, window), effect):
        by_player[condition.surface.player_id].append(condition)
    return {player: _window(effect, rounds) for player, rounds in by_player.items()}


def effect_of(effect: ClubEffect, kind: str) -> tuple[GreensEffect, bool]:
    """What is known of a kind of work: by its own putts if they are enough, or else by those after all work."""
    own = effect.kinds.get(kind)
    return (own, True) if own is not None and own.enough else (effect.greens, False)


def work_cost(row: GreenWork, today: date) -> WorkCost:
    """What a piece of green work cost so far. Two queries."""
    return work_costs([row], today)[0]


def work_costs(rows: Sequence[GreenWork], today: date) -> list[WorkCost]:
    """What each piece of green work cost so far. Two queries, however many pieces."""
    if not rows:
        return []
    found, felt = stored_effect(), [courses.days_felt(row) for row in rows]
    played = Round.objects.filter(
        tee_set__course_id__in={row.course_id for row in rows},
        played_on__range=(min(first for first, _ in felt), min(max(last for _, last in felt), today)),
    )
    rounds = list(played.values_list("tee_set__course_id", "played_on", "figures__holes_played"))
    return [
        _work_cost(
            found,
            row,
            [
                (day, holes)
                for course, day, holes in rounds
                if course == row.course_id and first <= day <= last
            ],
        )
        for row, (first, last) in zip(rows, felt, strict=True)
    ]


def _work_cost(found: ClubEffect, row: GreenWork, rounds: Sequence[tuple[date, int | None]]) -> WorkCost:
    """``rounds`` are the days and holes of those played on the course while the work was felt."""
    effect, own_kind = effect_of(found, row.kind)
    days = np.array([day.toordinal() for day, _ in rounds], dtype=np.int64)
    full_rounds = np.array([(holes or 18) / 18 for _, holes in rounds], dtype=np.float64)
    share_of_greens = len(row.holes) / row.course.hole_count if row.holes else 1.0
    work = courses.work_of(row)
    return WorkCost(
        rounds=len(days),
        strokes=_all_rounds(effect, work, days, full_rounds * share_of_greens),
        first_day=effect.strokes_after(0, row.kind, work.strength),
        recovery_days=effect.recovery_days(row.kind),
        usual_recovery_days=work_types()[row.kind].recovery_days,
        own_kind=own_kind,
    )


def plan_dates(course: Course, work: Work, starts: Sequence[date], today: date) -> list[planner.PlannedDay]:
    """What the same work would meet on each of these first days. Three queries."""
    played = Round.objects.filter(tee_set__course_id=course.id, played_on__lte=today)
    history = np.array(
        [day.toordinal() for day in played.values_list("played_on", flat=True)], dtype=np.int64
    )
    first_day = int(history.min()) if len(history) else today.toordinal()
    last = max(starts) + timedelta(days=work.end - work.start + courses.longest_healing(work.kind))
    events = [
        planner.Event(event.name, event.starts_on.toordinal(), event.ends_on.toordinal())
        for event in courses.events(course.id)
        .filter(ends_on__gte=min(starts), starts_on__lte=last)
        .order_by("starts_on", "name")
    ]
    return planner.plan(
        work,
        [start.toordinal() for start in starts],
        history,
        (first_day, today.toordinal()),
        events,
        courses.recovery_by_kind(),
    )


def expected_putts_on(course: Course, day: date, benchmark: Benchmark) -> list[ExpectedPutts]:
    """Expected putts of a benchmark by distance, on undisturbed greens and on those of that day. Two queries."""
    effect = stored_effect().greens
    felt = courses.possibly_felt(courses.confirmed_work([course.id], day, day).get(course.id, []), day)
    greens = list(range(1, course.hole_count + 1))
    disturbance = disturbance_by_component_on(effect, felt, day, greens).mean(axis=1)
    usual = benchmark.expected(
        np.full(len(EXPECTED_AT_FT), Lie.GREEN, dtype=np.int64), np.array(EXPECTED_AT_FT) / FEET_PER_YARD
    )
    return [
        ExpectedPutts(feet, putts, _expected_today(effect, feet, putts, disturbance))
        for feet, putts in zip(EXPECTED_AT_FT, usual.tolist(), strict=True)
    ]


def _expected_today(effect: GreensEffect, feet: float, putts: float, disturbance: Floats) -> Figure:
    if not np.any(disturbance):
        return Figure(putts, putts, putts, effect.rounds, 0, "putts")
    return expected_putts_today(effect, feet, putts, disturbance)


def around_the_green(course: Course) -> Figure:
    """Putting against chipping from just off disturbed greens of a course, by the members' own shots."""
    shots = list(
        Shot.objects.filter(
            played_hole__round__tee_set__course_id=course.id,
            lie__in=[lie.word for lie in NEAR_LIES],
            distance__lte=LONGEST_YARDS,
            figures__strokes_gained__isnull=False,
        )
        .exclude(club_used="")
        .values_list(
            "played_hole__round__player_id",
            "played_hole__round_id",
            "lie",
            "distance",
            "club_used",
            "figures__strokes_gained",
            "played_hole__round__played_on",
            "played_hole__number",
        )
    )
    works = [courses.work_of(row) for row in courses.confirmed_work([course.id]).get(course.id, [])]
    day = np.array([shot[6].toordinal() for shot in shots], dtype=np.int64)
    hole = np.array([shot[7] for shot in shots], dtype=np.int64)
    return putting_against_chipping(
        NearShots(
            player=_numbered([shot[0] for shot in shots]),
            round=_numbered([shot[1] for shot in shots]),
            lie=np.array([Lie.of(shot[2]) for shot in shots], dtype=np.int64),
            distance=np.array([shot[3] for shot in shots], dtype=np.float64),
            putted=np.array([shot[4].lower() == PUTTER for shot in shots], dtype=np.bool_),
            strokes_gained=np.array([shot[5] for shot in shots], dtype=np.float64),
            disturbance=surface_disturbance(works, day, hole, courses.recovery_by_kind()),
        )
    )


def _round_conditions(round_ids: Iterable[UUID], effect: GreensEffect) -> list[RoundCondition]:
    surfaces = round_surfaces(round_ids, effect)
    ids = [surface.round_id for surface in surfaces]
    notes = dict(RoundNote.objects.filter(round_id__any_of=ids).values_list("round_id", "text"))
    return [
        RoundCondition(
            surface,
            notes.get(surface.round_id, ""),
            None if surface.putting is None else adjust(effect, surface.putting),
        )
        for surface in surfaces
    ]


def _window(effect: GreensEffect, rounds: Sequence[RoundCondition]) -> AdjustedWindow:
    putting = [one.surface.putting for one in rounds if one.surface.putting is not None]
    return AdjustedWindow(rounds, adjust_rounds(effect, putting))


def _all_rounds(effect: GreensEffect, work: Work, days: Ints, weight: Floats) -> Figure:
    """Strokes that the work cost over all these rounds together; a round of nine holes weighs a half."""
    played_on, day = np.unique(days, return_inverse=True)
    rounds = np.bincount(day, weights=weight, minlength=len(played_on))
    since = np.maximum(played_on - work.end, 0).astype(np.float64)
    recovery = work_types()[work.kind].recovery_days * effect.components.scale
    by_day = work.strength * share_left(since[None, :], recovery[:, None])
    count = np.outer(rounds, effect.first_putts).ravel()
    cost = effect.strokes(np.tile(MIDDLES_FT, len(rounds)), count, np.repeat(by_day, len(MIDDLES_FT), axis=1))
    return replace(cost, unit="strokes")


def _numbered(values: Sequence[UUID]) -> Ints:
    numbers = {value: number for number, value in enumerate(sorted(set(values)))}
    return np.array([numbers[value] for value in values], dtype=np.int64)
