"""The surface that rounds met, and what of their putting was owed to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from courses.greens import condition as courses
from courses.greens.models import GreenWork
from golfstats.calc.greens.adjusted import RoundPutting
from golfstats.calc.greens.effect.posterior import GreensEffect
from golfstats.calc.greens.notes import WorkThen, told_of
from golfstats.calc.greens.surface.disturbance import surface_disturbance
from golfstats.calc.record import Bools, Floats, Record
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from players.figures.models import ShotFigures
from players.golf.loading import LoadedRecord
from players.rounds.models import PlayedHole, Round, Shot


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
    loading: Floats
    """Of what a round on such greens costs, by the coefficients of the effect; mean over the holes played."""
    putting: RoundPutting | None
    """``None`` where no putt is recorded shot by shot, or on temporary greens."""


@dataclass(frozen=True)
class _Green:
    """One hole's putting: from where, how many, and what was gained by them."""

    hole: int
    first_putt_ft: float
    putts: int
    gained: float


@dataclass(frozen=True)
class PlayedGreens:
    """One round's holes, and its putting on those whose strokes gained are known."""

    round_id: UUID
    player_id: UUID
    course_id: UUID
    played_on: date
    holes: Sequence[int]
    greens: Sequence[_Green]


def round_surfaces(round_ids: Iterable[UUID], effect: GreensEffect) -> list[RoundSurface]:
    """The surface of the given rounds, in order of play. Six queries, however many rounds."""
    return surfaces_of(stored_greens(round_ids), effect)


def surfaces_of(rounds: Sequence[PlayedGreens], effect: GreensEffect) -> list[RoundSurface]:
    """The surface of rounds whose putting is known already. Two queries, however many rounds."""
    if not rounds:
        return []
    days = [one.played_on for one in rounds]
    work = courses.confirmed_work({one.course_id for one in rounds}, min(days), max(days))
    recovery = courses.recovery_by_kind()
    return [_round_surface(one, work.get(one.course_id, []), recovery, effect) for one in rounds]


def stored_greens(round_ids: Iterable[UUID]) -> list[PlayedGreens]:
    """As the analysis has stored the putting, so that the parts add up to what is shown elsewhere; in order of play."""
    rounds = list(
        Round.objects.filter(id__any_of=list(round_ids))
        .order_by("played_on", "start_time", "id")
        .values_list("id", "player_id", "tee_set__course_id", "played_on")
    )
    played = _holes_played([row[0] for row in rounds]) if rounds else {}
    holes, greens = _numbers(played), _greens(played)
    return [PlayedGreens(*row, holes[row[0]], greens[row[0]]) for row in rounds]


def analysed_greens(loaded: LoadedRecord, gained: Floats, kept: Bools) -> list[PlayedGreens]:
    """The same from what an analysis holds and is about to store: of each round that is ``kept``."""
    record = loaded.record
    holes: dict[int, list[int]] = defaultdict(list)
    for row, number in zip(record.holes.round.tolist(), record.holes.number.tolist(), strict=True):
        holes[row].append(number)
    greens = _analysed_putting(record, gained)
    return [
        PlayedGreens(
            round_id,
            loaded.players[record.rounds.player[row]],
            loaded.courses[record.rounds.course[row]],
            date.fromordinal(int(record.rounds.day[row])),
            holes[row],
            greens[row],
        )
        for row, round_id in enumerate(loaded.round_ids)
        if kept[row]
    ]


def _analysed_putting(record: Record, gained: Floats) -> dict[int, list[_Green]]:
    """By row of the round. Shots are in order of play, so a hole's putts stand one after the other."""
    shots, holes = record.shots, record.holes
    putts = np.flatnonzero((shots.lie == Lie.GREEN) & np.isfinite(gained))
    hole, first = np.unique(shots.hole[putts], return_index=True)
    count = np.diff(first, append=len(putts))
    strokes = np.bincount(shots.hole[putts], gained[putts] + shots.penalty[putts], len(holes))[hole]
    from_ft = shots.distance[putts[first]] * FEET_PER_YARD
    by_round: dict[int, list[_Green]] = defaultdict(list)
    columns = (holes.round[hole], holes.number[hole], from_ft, count, strokes)
    for row, *green in zip(*(column.tolist() for column in columns), strict=True):
        by_round[row].append(_Green(*green))
    return by_round


def mean_disturbance(
    rows: Sequence[GreenWork], day: date, holes: Sequence[int], recovery: dict[str, float]
) -> float:
    """Mean surface disturbance of these holes that day."""
    works = [courses.work_of(row) for row in rows]
    number = np.full(len(holes), day.toordinal())
    return float(np.mean(surface_disturbance(works, number, np.array(holes), recovery)))


def _round_surface(
    played: PlayedGreens, work: Sequence[GreenWork], recovery: dict[str, float], effect: GreensEffect
) -> RoundSurface:
    day, course_id, holes = played.played_on, played.course_id, played.holes
    felt = courses.possibly_felt(work, day)
    temporary = bool(courses.temporary_greens_on(felt, day, holes))
    without = temporary or not played.greens
    return RoundSurface(
        round_id=played.round_id,
        player_id=played.player_id,
        course_id=course_id,
        played_on=day,
        disturbance=mean_disturbance(felt, day, holes, recovery) if felt and holes else 0.0,
        temporary=temporary,
        felt=sorted(courses.still_felt(felt, day, recovery), key=lambda one: one.ends_on, reverse=True),
        loading=mean_loading(effect, felt, day, holes, course_id),
        putting=None if without else _putting(effect, felt, day, played.greens, course_id),
    )


def _putting(
    effect: GreensEffect, felt: Sequence[GreenWork], day: date, greens: Sequence[_Green], course_id: UUID
) -> RoundPutting:
    putts = np.array([green.putts for green in greens], dtype=np.int64)
    return RoundPutting(
        first_putt_ft=np.array([green.first_putt_ft for green in greens]),
        putts=putts,
        # By definition of strokes gained: expected putts are those taken and what was gained by them. A penalty
        # on the green is not putting.
        benchmark_putts=putts + np.array([green.gained for green in greens]),
        surface=loadings_on(effect, felt, day, [green.hole for green in greens], course_id),
        known=_known(effect, felt, day, course_id),
    )


def _known(effect: GreensEffect, felt: Sequence[GreenWork], day: date, course_id: UUID) -> bool:
    """Whether the work that is most of the day's disturbance has been seen often enough on this course."""
    then = WorkThen.on([courses.work_of(row) for row in felt], day.toordinal())
    return not then or effect.knows(told_of(then), str(course_id))


def loadings_on(
    effect: GreensEffect, rows: Sequence[GreenWork], day: date, holes: Sequence[int], course_id: UUID
) -> Floats:
    """Loadings of what a round on each of these greens costs that day, holes × coefficients of the effect."""
    works = [courses.work_of(row) for row in rows]
    alike = all(work.holes is None for work in works)
    asked = np.array([0] if alike else holes)
    loadings = effect.of_greens(works, np.full(len(asked), day.toordinal()), asked, str(course_id))
    return np.broadcast_to(loadings, (len(holes), loadings.shape[1])) if alike else loadings


def mean_loading(
    effect: GreensEffect, rows: Sequence[GreenWork], day: date, holes: Sequence[int], course_id: UUID
) -> Floats:
    """Loading of what a round over these greens costs the club's usual member that day."""
    if not rows or not holes:
        return np.zeros(len(effect.mean))
    mean: Floats = loadings_on(effect, rows, day, holes, course_id).mean(axis=0)
    return mean


def _holes_played(rounds: list[UUID]) -> dict[UUID, tuple[UUID, int]]:
    """Round and number of each hole played, by the hole's key, in order of play."""
    rows = PlayedHole.objects.filter(round_id__any_of=rounds).order_by("round_id", "number")
    return {key: (round_id, number) for key, round_id, number in rows.values_list("id", "round_id", "number")}


def _numbers(played: dict[UUID, tuple[UUID, int]]) -> dict[UUID, list[int]]:
    by_round: dict[UUID, list[int]] = defaultdict(list)
    for round_id, number in played.values():
        by_round[round_id].append(number)
    return by_round


def _greens(played: dict[UUID, tuple[UUID, int]]) -> dict[UUID, list[_Green]]:
    """The putting of each hole whose strokes gained are known.

    Read by key and not by a join, which takes minutes right after a bulk of posts (see ``players.golf.loading``).
    """
    putts = list(
        Shot.objects.filter(played_hole_id__any_of=list(played), lie=Lie.GREEN.word)
        .order_by("number")
        .values_list("id", "played_hole_id", "distance", "penalty_strokes")
    )
    figures = ShotFigures.objects.filter(shot_id__any_of=[putt[0] for putt in putts])
    gained = dict(figures.values_list("shot_id", "strokes_gained"))
    by_hole: dict[UUID, list[tuple[float, float]]] = defaultdict(list)
    for shot_id, hole_id, distance, penalty in putts:
        if shot_id in gained:
            by_hole[hole_id].append((distance, gained[shot_id] + penalty))
    by_round: dict[UUID, list[_Green]] = defaultdict(list)
    for hole_id, (round_id, number) in played.items():
        if strokes := by_hole.get(hole_id):
            total = sum(stroke[1] for stroke in strokes)
            by_round[round_id].append(_Green(number, strokes[0][0] * FEET_PER_YARD, len(strokes), total))
    return by_round
