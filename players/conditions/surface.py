"""The surface that rounds met, and what of their putting was owed to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

import numpy as np

from courses import queries as courses
from courses.models import GreenWork
from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import RoundPutting, disturbance_by_component
from golfstats.calc.greens.disturbance import surface_disturbance
from golfstats.calc.greens.effect import MIDDLES_FT, GreensEffect
from golfstats.calc.record import Floats
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.models import PlayedHole, Round, Shot, ShotFigures


@dataclass(frozen=True)
class RoundSurface:
    """One round on the greens of its day."""

    round_id: UUID
    player_id: UUID
    course_id: UUID
    played_on: date
    disturbance: float
    """Mean over the holes played, 0 … 1."""
    temporary: bool
    """Temporary greens were in play on a hole of this round: its putting stays out of comparisons."""
    felt: Sequence[GreenWork]
    """Work still felt that day, latest first."""
    by_component: Floats
    """Disturbance of each hole played under each recovery time that the effect allows, components × holes."""
    putting: RoundPutting | None
    """``None`` where no putt is recorded shot by shot, or on temporary greens."""


@dataclass(frozen=True)
class _Green:
    """One hole's putting: from where, how many, and what was gained by them."""

    hole: int
    first_putt_ft: float
    putts: int
    gained: float


def round_surfaces(round_ids: Iterable[UUID], effect: GreensEffect) -> list[RoundSurface]:
    """The surface of the given rounds, in order of play. Six queries, however many rounds.

    Putting is what the analysis has stored of the putts, so that the parts add up to what is shown elsewhere.
    """
    rounds = list(
        Round.objects.filter(id__any_of=list(round_ids))
        .order_by("played_on", "start_time", "id")
        .values_list("id", "player_id", "tee_set__course_id", "played_on")
    )
    if not rounds:
        return []
    played = _holes_played([row[0] for row in rounds])
    holes, greens = _numbers(played), _greens(played)
    days = [row[3] for row in rounds]
    work = courses.confirmed_work({row[2] for row in rounds}, min(days), max(days))
    recovery = courses.recovery_by_kind()
    return [
        _round_surface(row, holes[row[0]], greens[row[0]], work.get(row[2], []), recovery, effect)
        for row in rounds
    ]


def usual_cost(effect: GreensEffect, by_component: Floats) -> Figure:
    """Strokes a round that greens in this state (components × holes) cost the club's usual member."""
    return effect.strokes(MIDDLES_FT, effect.first_putts, by_component.mean(axis=1)[:, None])


def mean_disturbance(
    rows: Sequence[GreenWork], day: date, holes: Sequence[int], recovery: dict[str, float]
) -> float:
    """Mean surface disturbance of these holes that day."""
    works = [courses.work_of(row) for row in rows]
    number = np.full(len(holes), day.toordinal())
    return float(np.mean(surface_disturbance(works, number, np.array(holes), recovery)))


def _round_surface(
    row: tuple[Any, ...],
    holes: Sequence[int],
    greens: Sequence[_Green],
    work: Sequence[GreenWork],
    recovery: dict[str, float],
    effect: GreensEffect,
) -> RoundSurface:
    round_id, player_id, course_id, day = row
    felt = courses.possibly_felt(work, day)
    temporary = bool(courses.temporary_greens_on(felt, day, holes))
    return RoundSurface(
        round_id=round_id,
        player_id=player_id,
        course_id=course_id,
        played_on=day,
        disturbance=mean_disturbance(felt, day, holes, recovery) if felt and holes else 0.0,
        temporary=temporary,
        felt=sorted(courses.still_felt(felt, day, recovery), key=lambda one: one.ends_on, reverse=True),
        by_component=disturbance_by_component_on(effect, felt, day, holes),
        putting=None if temporary or not greens else _putting(effect, felt, day, greens),
    )


def _putting(
    effect: GreensEffect, felt: Sequence[GreenWork], day: date, greens: Sequence[_Green]
) -> RoundPutting:
    putts = np.array([green.putts for green in greens], dtype=np.int64)
    return RoundPutting(
        first_putt_ft=np.array([green.first_putt_ft for green in greens]),
        putts=putts,
        # By definition of strokes gained: expected putts are those taken and what was gained by them.
        benchmark_putts=putts + np.array([green.gained for green in greens]),
        disturbance=disturbance_by_component_on(effect, felt, day, [green.hole for green in greens]),
    )


def disturbance_by_component_on(
    effect: GreensEffect, rows: Sequence[GreenWork], day: date, holes: Sequence[int]
) -> Floats:
    """Surface disturbance of each hole that day under each component's recovery time, components × holes."""
    if not rows:
        return np.zeros((len(effect.components.scale), len(holes)))
    works = [courses.work_of(row) for row in rows]
    return disturbance_by_component(effect, works, np.full(len(holes), day.toordinal()), np.array(holes))


def _holes_played(rounds: list[UUID]) -> dict[UUID, tuple[UUID, int]]:
    """Round and number of each hole played, by the hole's key, in order of play."""
    rows = PlayedHole.objects.filter(round_id__any_of=rounds).order_by("round_id", "number")
    return {key: (round_id, number) for key, round_id, number in rows.values_list("id", "round_id", "number")}


def _numbers(played: dict[UUID, tuple[UUID, int]]) -> dict[UUID, list[int]]:
    found: dict[UUID, list[int]] = defaultdict(list)
    for round_id, number in played.values():
        found[round_id].append(number)
    return found


def _greens(played: dict[UUID, tuple[UUID, int]]) -> dict[UUID, list[_Green]]:
    """The putting of each hole whose strokes gained are known.

    Read by key and not by a join, which takes minutes right after a bulk of posts (see ``players.queries.record``).
    """
    putts = list(
        Shot.objects.filter(played_hole_id__any_of=list(played), lie=Lie.GREEN.word)
        .order_by("number")
        .values_list("id", "played_hole_id", "distance")
    )
    figures = ShotFigures.objects.filter(shot_id__any_of=[putt[0] for putt in putts])
    gained = dict(figures.values_list("shot_id", "strokes_gained"))
    by_hole: dict[UUID, list[tuple[float, float]]] = defaultdict(list)
    for shot_id, hole_id, distance in putts:
        if shot_id in gained:
            by_hole[hole_id].append((distance, gained[shot_id]))
    found: dict[UUID, list[_Green]] = defaultdict(list)
    for hole_id, (round_id, number) in played.items():
        if strokes := by_hole.get(hole_id):
            total = sum(stroke[1] for stroke in strokes)
            found[round_id].append(_Green(number, strokes[0][0] * FEET_PER_YARD, len(strokes), total))
    return found
