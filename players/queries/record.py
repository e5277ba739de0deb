"""From rows to arrays: the golf of one or many players as a :class:`~golfstats.calc.record.Record`.

Four queries, whatever the number of rounds: rounds, holes of their tees, holes played, shots.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

import numpy as np

from courses.models import Gender, Hole
from golfstats.calc.record import Codes, Floats, Holes, Ints, Record, Rounds, Shots
from golfstats.calc.vocabulary import (
    UNKNOWN,
    Lie,
    LieQuality,
    MissDepth,
    MissSide,
    PenaltyKind,
    PuttBreak,
    PuttFault,
    Slope,
    Swing,
    Wind,
    Word,
)
from players.models import PlayedHole, Round, Shot


@dataclass(frozen=True)
class LoadedRecord:
    """A record and, row by row, where it came from."""

    record: Record
    players: Sequence[UUID]
    """Player numbers of ``record.rounds.player`` index into this."""
    courses: Sequence[UUID]
    round_ids: Sequence[UUID]
    hole_ids: Sequence[UUID]
    shot_ids: Sequence[UUID]
    clubs: Sequence[str]
    """Club numbers of ``record.shots.club`` index into this."""
    balls: Sequence[str]
    """Ball of each round, '' where not recorded."""
    round_tags: Sequence[Sequence[str]]
    shot_tags: Sequence[Sequence[str]]


_ROUND = (
    "id",
    "player_id",
    "player__rating_gender",
    "tee_set_id",
    "tee_set__course_id",
    "played_on",
    "start_time",
    "counting",
    "competition",
    "temperature_c",
    "wind_mph",
    "ball",
    "tags",
)
_HOLE = (
    "id",
    "round_id",
    "number",
    "score",
    "picked_up",
    "putts",
    "penalties",
    "fairway_hit",
    "green_in_regulation",
)
_SHOT = (
    "id",
    "played_hole_id",
    "number",
    "lie",
    "distance",
    "holed",
    "penalty_strokes",
    "penalty_kind",
    "club_used",
    "target_distance",
    "travel",
    "offline",
    "miss_side",
    "miss_depth",
    "short_sided",
    "lie_quality",
    "swing",
    "wind",
    "wind_mph",
    "elevation",
    "slope",
    "putt_break",
    "fault",
    "tags",
)


def load_record(
    players: Iterable[UUID] | None = None,
    *,
    rounds: Iterable[UUID] | None = None,
    since: date | None = None,
    until: date | None = None,
) -> LoadedRecord:
    """The golf of the given players (or of everybody in the club in scope), in order of play."""
    found = Round.objects.order_by("player_id", "played_on", "start_time", "id")
    if players is not None:
        found = found.filter(player_id__any_of=list(players))
    if rounds is not None:
        found = found.filter(id__any_of=list(rounds))
    if since is not None:
        found = found.filter(played_on__gte=since)
    if until is not None:
        found = found.filter(played_on__lte=until)
    round_rows = list(found.values_list(*_ROUND))
    round_ids = [row[0] for row in round_rows]
    hole_rows = list(PlayedHole.objects.filter(round_id__any_of=round_ids).values_list(*_HOLE))
    row_of_round = {round_id: row for row, round_id in enumerate(round_ids)}
    hole_rows.sort(key=lambda row: (row_of_round[row[1]], row[2]))
    row_of_hole = {row[0]: index for index, row in enumerate(hole_rows)}
    # By the holes' keys and not by a join: right after a bulk of posts the planner has no statistics yet,
    # expects one row of everything, and takes minutes over a nested loop.
    shot_rows = list(
        Shot.objects.filter(played_hole_id__any_of=[row[0] for row in hole_rows]).values_list(*_SHOT)
    )
    shot_rows.sort(key=lambda row: (row_of_hole[row[1]], row[2]))
    return _loaded(round_rows, hole_rows, shot_rows, row_of_round, row_of_hole)


def _loaded(
    round_rows: list[Any],
    hole_rows: list[Any],
    shot_rows: list[Any],
    row_of_round: dict[UUID, int],
    row_of_hole: dict[UUID, int],
) -> LoadedRecord:
    players = sorted({row[1] for row in round_rows})
    courses = sorted({row[4] for row in round_rows})
    clubs = sorted({row[8] for row in shot_rows if row[8]})
    holes = _holes(round_rows, hole_rows, shot_rows, row_of_round)
    return LoadedRecord(
        record=Record(
            _rounds(round_rows, players, courses), holes, _shots(shot_rows, holes, row_of_hole, clubs)
        ),
        players=players,
        courses=courses,
        round_ids=[row[0] for row in round_rows],
        hole_ids=[row[0] for row in hole_rows],
        shot_ids=[row[0] for row in shot_rows],
        clubs=clubs,
        balls=[row[11] for row in round_rows],
        round_tags=[row[12] for row in round_rows],
        shot_tags=[row[23] for row in shot_rows],
    )


def _rounds(rows: list[Any], players: list[UUID], courses: list[UUID]) -> Rounds:
    player_number = {player: number for number, player in enumerate(players)}
    course_number = {course: number for number, course in enumerate(courses)}
    return Rounds(
        player=_ints(player_number[row[1]] for row in rows),
        day=_ints(row[5].toordinal() for row in rows),
        course=_ints(course_number[row[4]] for row in rows),
        counting=np.array([row[7] for row in rows], dtype=np.bool_),
        competition=np.array([row[8] for row in rows], dtype=np.bool_),
        start_hour=_floats(None if row[6] is None else row[6].hour + row[6].minute / 60 for row in rows),
        temperature=_floats(row[9] for row in rows),
        wind_speed=_floats(row[10] for row in rows),
    )


def _holes(
    round_rows: list[Any], hole_rows: list[Any], shot_rows: list[Any], row_of_round: dict[UUID, int]
) -> Holes:
    pars = _pars_and_lengths({row[3] for row in round_rows})
    facts = []
    for row in hole_rows:
        round_row = round_rows[row_of_round[row[1]]]
        par_men, par_women, length = pars[round_row[3], row[2]]
        facts.append((par_men if round_row[2] == Gender.MEN else par_women, length))
    holed = {row[1] for row in shot_rows if row[5]}
    return Holes(
        round=_ints(row_of_round[row[1]] for row in hole_rows),
        number=_ints(row[2] for row in hole_rows),
        par=_ints(UNKNOWN if par is None else par for par, _ in facts),
        length=_floats(length for _, length in facts),
        score=_ints(row[3] for row in hole_rows),
        picked_up=np.array([row[4] for row in hole_rows], dtype=np.bool_),
        putts=_ints(UNKNOWN if row[5] is None else row[5] for row in hole_rows),
        penalties=_ints(UNKNOWN if row[6] is None else row[6] for row in hole_rows),
        fairway_hit=_flags(row[7] for row in hole_rows),
        green_in_regulation=_flags(row[8] for row in hole_rows),
        complete=np.array([row[0] in holed for row in hole_rows], dtype=np.bool_),
    )


def _pars_and_lengths(tee_sets: set[UUID]) -> dict[tuple[UUID, int], tuple[int | None, int | None, float]]:
    rows = Hole.objects.filter(tee_set_id__in=tee_sets).values_list(
        "tee_set_id", "number", "par_men", "par_women", "length"
    )
    return {(tee_set, number): (men, women, length) for tee_set, number, men, women, length in rows}


def _shots(rows: list[Any], holes: Holes, row_of_hole: dict[UUID, int], clubs: list[str]) -> Shots:
    hole = _ints(row_of_hole[row[1]] for row in rows)
    lie = _codes(Lie, (row[3] for row in rows))
    distance = _floats(row[4] for row in rows)
    holed = np.array([row[5] for row in rows], dtype=np.bool_)
    lie_after, distance_after = _where_it_finished(hole, lie, distance, holed)
    club_number = {club: number for number, club in enumerate(clubs)}
    return Shots(
        round=holes.round[hole],
        hole=hole,
        number=_ints(row[2] for row in rows),
        par=holes.par[hole],
        lie=lie,
        distance=distance,
        lie_after=lie_after,
        distance_after=distance_after,
        holed=holed,
        penalty=_ints(row[6] for row in rows),
        penalty_kind=_codes(PenaltyKind, (row[7] for row in rows)),
        club=np.array([club_number.get(row[8], UNKNOWN) for row in rows], dtype=np.int8),
        target=_floats(row[9] for row in rows),
        travel=_floats(row[10] for row in rows),
        offline=_floats(row[11] for row in rows),
        miss_side=_codes(MissSide, (row[12] for row in rows)),
        miss_depth=_codes(MissDepth, (row[13] for row in rows)),
        short_sided=_flags(row[14] for row in rows),
        lie_quality=_codes(LieQuality, (row[15] for row in rows)),
        swing=_codes(Swing, (row[16] for row in rows)),
        wind=_codes(Wind, (row[17] for row in rows)),
        wind_speed=_floats(row[18] for row in rows),
        elevation=_floats(row[19] for row in rows),
        slope=_codes(Slope, (row[20] for row in rows)),
        putt_break=_codes(PuttBreak, (row[21] for row in rows)),
        fault=_codes(PuttFault, (row[22] for row in rows)),
    )


def _where_it_finished(
    hole: Ints, lie: Codes, distance: Floats, holed: np.ndarray[Any, np.dtype[np.bool_]]
) -> tuple[Codes, Floats]:
    """Lie and distance after each shot: those of the next shot of the same hole."""
    lie_after = np.full(len(hole), UNKNOWN, dtype=np.int8)
    distance_after = np.where(holed, 0.0, np.nan)
    same_hole = np.flatnonzero(hole[:-1] == hole[1:]) if len(hole) else np.array([], dtype=np.int64)
    lie_after[same_hole] = lie[same_hole + 1]
    distance_after[same_hole] = distance[same_hole + 1]
    return lie_after, distance_after


def _ints(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _floats(values: Iterable[float | None]) -> Floats:
    return np.array([np.nan if value is None else value for value in values], dtype=np.float64)


def _flags(values: Iterable[bool | None]) -> Codes:
    return np.array([UNKNOWN if value is None else int(value) for value in values], dtype=np.int8)


def _codes(words: type[Word], values: Iterable[str]) -> Codes:
    code = {member.word: int(member) for member in words} | {"": UNKNOWN}
    return np.array([code[value] for value in values], dtype=np.int8)
