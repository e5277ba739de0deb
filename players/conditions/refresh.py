"""Writes what the surface meant: of rounds their surface figures and notes, of course-days their notes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from uuid import UUID

import numpy as np
from django.db import transaction
from django.db.models import Count, Q, Sum

from courses.greens import answers
from courses.greens import condition as courses
from courses.greens.answers import FIGURES_OF_A_NOTE, CourseNoteFigures, Estimate
from courses.greens.models import CourseNote, GreenWork
from courses.greens.services import replace_course_notes
from courses.layout.models import Course
from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting, adjust_round
from golfstats.calc.greens.effect.posterior import GreensEffect
from golfstats.calc.greens.notes import (
    USUAL_ROUNDS,
    WORTH_A_NOTE,
    WorkThen,
    course_day_note,
    round_note,
    told_of,
)
from golfstats.ground.outbox import work
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.bulk import delete_those
from golfstats.ground.walls.scope import current_club_id
from golfstats.sentences import Sentence, as_kept
from players import kinds
from players.conditions.answers.stored import stored_surfaces
from players.conditions.effect import stored_effect
from players.conditions.models import RoundNote
from players.conditions.surface import (
    PlayedGreens,
    RoundSurface,
    mean_disturbance,
    mean_loading,
    stored_greens,
    surfaces_of,
)
from players.figures.models import RoundFigures
from players.rounds.models import Round

TEMPORARY = Sentence("Temporary greens were in play: the putting of this round stays out of comparisons.")
ROUNDS_AT_ONCE = 2000
"""Bounds the memory that a club with many years of rounds needs."""
UPDATE_SURFACE = """
    UPDATE players_roundfigures AS figures
       SET surface_disturbance = fresh.disturbance, surface_strokes = fresh.strokes,
           surface_low = fresh.low, surface_high = fresh.high,
           surface_version = %s
      FROM unnest(%s::uuid[], %s::float8[], %s::float8[], %s::float8[], %s::float8[])
           AS fresh (round_id, disturbance, strokes, low, high)
     WHERE figures.round_id = fresh.round_id AND figures.club_id = %s
"""

NOTICED = 0.02
"""Strokes a round, and disturbance. What moves less from one nightly fit to the next moves no figure that is read."""

OnTheDay = tuple[RoundSurface, AdjustedPutting | None]
"""A round's surface, and its putting with and without it where that is known."""


@transaction.atomic
def refresh_rounds(round_ids: Iterable[UUID]) -> None:
    """Fill the surface figures of analysed rounds and write their notes; raw figures are not touched.

    What coaches read of those players rests on them. The number of queries does not grow with the rounds.
    """
    rounds = stored_greens(round_ids)
    ids = [one.round_id for one in rounds]
    before = stored_surfaces(ids)
    write_surface(rounds)
    alike = np.isclose(before, stored_surfaces(ids), rtol=0, atol=NOTICED, equal_nan=True)
    moved = np.flatnonzero(~np.all(alike, axis=0))
    work.ask_all(kinds.PLAYER_REPORT, {str(rounds[row].player_id) for row in moved})


@transaction.atomic(savepoint=False)
def write_surface(rounds: Sequence[PlayedGreens]) -> None:
    """The same of rounds whose putting is known already; their players' reports are the caller's to ask for."""
    stored = stored_effect()
    effect = stored.greens
    on_the_day = [
        (surface, None if surface.putting is None else adjust_round(effect, surface.putting))
        for surface in surfaces_of(rounds, effect)
    ]
    _store_figures(
        on_the_day, "" if stored.fitted_at is None else f"fitted {stored.fitted_at:%Y-%m-%dT%H:%MZ}"
    )
    _store_notes(on_the_day, effect)


@transaction.atomic
def refresh_course(course_id: UUID, first: date, last: date) -> None:
    """Refresh the rounds of one course between two days, and the notes of those days."""
    rounds = Round.objects.filter(tee_set__course_id=course_id, played_on__range=(first, last))
    refresh_rounds(rounds.values_list("id", flat=True))
    course = Course.objects.filter(id=course_id).first()
    if course is not None:
        write_course_notes(course, first, last)


@transaction.atomic
def refresh_all() -> None:
    """Refresh every course-day and round that green work may have touched: what it costs is known better now."""
    rounds: list[UUID] = []
    for course_id, rows in courses.confirmed_work().items():
        touched = Q()
        course = Course.objects.get(id=course_id)
        for first, last in spans(rows):
            touched |= Q(played_on__range=(first, last))
            write_course_notes(course, first, last)
        played = Round.objects.filter(touched, tee_set__course_id=course_id)
        rounds += played.values_list("id", flat=True)
    for start in range(0, len(rounds), ROUNDS_AT_ONCE):
        refresh_rounds(rounds[start : start + ROUNDS_AT_ONCE])


@transaction.atomic
def write_course_notes(course: Course, first: date, last: date) -> None:
    """Write the notes of a course's days anew. The number of queries does not grow with the days."""
    effect = stored_effect().greens
    works = courses.confirmed_work([course.id], first, last).get(course.id, [])
    recovery = courses.recovery_by_kind()
    holes = list(range(1, course.hole_count + 1))
    notes = []
    for ahead in range((last - first).days + 1):
        day = first + timedelta(days=ahead)
        felt = courses.possibly_felt(works, day)
        disturbance = mean_disturbance(felt, day, holes, recovery) if felt else 0.0
        if disturbance < WORTH_A_NOTE:
            continue
        cost = effect.strokes(mean_loading(effect, felt, day, holes, course.id))
        then = _work_then(courses.still_felt(felt, day, recovery), day)
        text = course_day_note(then, disturbance, cost, effect, str(course.id))
        if text:
            figures = FIGURES_OF_A_NOTE.dump_python(
                _rests_on(then, disturbance, cost, effect, str(course.id)), mode="json"
            )
            notes.append(
                CourseNote(course=course, day=day, text=text, sentence=as_kept(text), figures=figures)
            )
    replace_course_notes(course, first, last, notes)


def spans(rows: Iterable[GreenWork]) -> list[tuple[date, date]]:
    """Days on which any of the works may be felt, as spans that do not overlap."""
    merged: list[tuple[date, date]] = []
    for first, last in sorted(courses.days_felt(row) for row in rows):
        if merged and first <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(last, merged[-1][1]))
        else:
            merged.append((first, last))
    return merged


def _store_figures(on_the_day: Sequence[OnTheDay], version: str) -> None:
    """One statement for all rounds: several times as quick as a CASE for each of them."""
    rows = [_surface_columns(*one) for one in on_the_day]
    with prepared_cursor() as cursor:
        columns = [[row[n] for row in rows] for n in range(5)]
        cursor.execute(UPDATE_SURFACE, [version, *columns, current_club_id()])


def _surface_columns(
    surface: RoundSurface, putting: AdjustedPutting | None
) -> tuple[UUID, float | None, float | None, float | None, float | None]:
    disturbance = None if surface.temporary else surface.disturbance
    if putting is None:
        return surface.round_id, disturbance, None, None, None
    owed = putting.owed
    return surface.round_id, disturbance, _gained(owed.value), _gained(owed.high), _gained(owed.low)


def _gained(lost: float | None) -> float | None:
    """Strokes lost to the surface as strokes gained; no minus before a zero."""
    return None if lost is None else 0.0 - lost


def _store_notes(on_the_day: Sequence[OnTheDay], effect: GreensEffect) -> None:
    usual = usual_putting({one.player_id for one, _ in on_the_day if one.disturbance >= WORTH_A_NOTE})
    notes = [
        note
        for surface, putting in on_the_day
        if (note := _round_note(surface, putting, effect, usual.get(surface.player_id))) is not None
    ]
    delete_those(RoundNote, "round_id", [surface.round_id for surface, _ in on_the_day])
    RoundNote.objects.bulk_create(notes)


def usual_putting(players: Iterable[UUID]) -> dict[UUID, float]:
    """What each player gains by putting a hole on undisturbed greens, where enough rounds tell."""
    wanted = list(players)
    if not wanted:
        return {}
    undisturbed = Q(surface_disturbance=None) | Q(surface_disturbance__lt=WORTH_A_NOTE)
    rows = (
        RoundFigures.objects.filter(undisturbed, round__player_id__any_of=wanted, putting__isnull=False)
        .values("round__player_id")
        .annotate(gained=Sum("putting"), holes=Sum("holes_covered"), rounds=Count("id"))
        .filter(rounds__gte=USUAL_ROUNDS)
    )
    return {row["round__player_id"]: row["gained"] / row["holes"] for row in rows}


def _round_note(
    surface: RoundSurface, putting: AdjustedPutting | None, effect: GreensEffect, usual: float | None
) -> RoundNote | None:
    if surface.disturbance < WORTH_A_NOTE and not surface.temporary:
        return None
    then = _work_then(surface.felt, surface.played_on)
    cost, course = effect.strokes(surface.loading), str(surface.course_id)
    if surface.temporary:
        return RoundNote(round_id=surface.round_id, text=TEMPORARY, sentence=as_kept(TEMPORARY))
    if putting is None:
        text = course_day_note(then, surface.disturbance, cost, effect, course)
    else:
        holes = len(surface.putting.putts) if surface.putting else 0
        usual_here = None if usual is None else usual * holes
        text = round_note(then, surface.disturbance, cost, effect, putting, usual_here, course)
    return RoundNote(round_id=surface.round_id, text=text, sentence=as_kept(text)) if text else None


def _work_then(rows: Sequence[GreenWork], day: date) -> list[WorkThen]:
    return WorkThen.on([courses.work_of(row) for row in rows], day.toordinal())


def _rests_on(
    then: Sequence[WorkThen], disturbance: float, cost: Figure, effect: GreensEffect, course: str
) -> CourseNoteFigures:
    chance = effect.chance_it_costs(told_of(then), course) if then else None
    return CourseNoteFigures(
        disturbance=round(disturbance, 4),
        cost=Estimate(cost.value, cost.low, cost.high, cost.n, cost.minimum_n, cost.unit),
        chance_it_costs=None if chance is None else round(chance, 4),
        work=[answers.WorkThen(each.work.kind, each.days_before) for each in then],
    )
