"""From rows to arrays: the golf of one or many players as a :class:`~golfstats.calc.record.Record`.

Four queries, whatever the number of rounds: rounds, holes of their tees, holes played, shots.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any, TypeVar
from uuid import UUID

import numpy as np
from django.db.models import QuerySet

from courses.layout.models import Gender, Hole
from golfstats.calc.record import Bools, Codes, Floats, Holes, Ints, Record, Rounds, Shots
from golfstats.calc.vocabulary import UNKNOWN
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from players.golf import packed
from players.golf.packed import Column, Ids, Table
from players.rounds.fields import SHOT_FIELDS, Kind, ShotField
from players.rounds.models import PlayedHole, Round, Shot

ItemT = TypeVar("ItemT")


@dataclass(frozen=True)
class LoadedRecord:
    """A record and, row by row, where it came from."""

    record: Record
    players: Sequence[UUID]
    """Player numbers of ``record.rounds.player`` index into this."""
    courses: Sequence[UUID]
    round_ids: Sequence[UUID]
    hole_ids: Ids
    shot_ids: Ids
    clubs: Sequence[str]
    """Club numbers of ``record.shots.club`` index into this."""
    balls: Sequence[str]
    """Ball of each round, '' where not recorded."""
    tee_sets: Sequence[UUID]
    """Tees of each round."""
    altitude: Floats
    """Of the course in each round, metres above the sea; NaN where nobody gave it."""
    women: Bools
    """Whether each round's player is rated as a woman."""
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
    "tee_set__course__altitude",
)
_HOLE_OF_TEES = ("tee_set_id", "number", "par_women", "par_men", "length")
HOLE = {
    "id": packed.ids("id"),
    "round": packed.ids("round_id"),
    "number": packed.whole("number"),
    "score": packed.whole("score"),
    "picked_up": packed.whole("picked_up", np.bool_),
    "putts": packed.whole("putts"),
    "penalties": packed.whole("penalties"),
    "fairway_hit": packed.whole("fairway_hit", np.int8),
    "green_in_regulation": packed.whole("green_in_regulation", np.int8),
}


def _column(of: ShotField) -> Column:
    """A column of shots as what is computed with."""
    if of.words is not None:
        return packed.codes(of.stored_in, of.words)
    return _COLUMNS[of.kind](of.stored_in)


_COLUMNS: Mapping[Kind, Callable[[str], Column]] = {
    Kind.DISTANCE: packed.floats,
    Kind.LENGTH: packed.floats,
    Kind.NUMBER: packed.floats,
    Kind.FLAG: partial(packed.whole, dtype=np.int8),
    Kind.HOLED: partial(packed.whole, dtype=np.bool_),
    Kind.COUNT: packed.whole,
    Kind.TEXT: packed.texts,
    Kind.TAGS: packed.lists,
}
SHOT = {
    "id": packed.ids("id"),
    "hole": packed.ids("played_hole_id"),
    "number": packed.whole("number"),
    **{one.counted_in: _column(one) for one in SHOT_FIELDS},
}


class Columns:
    """Lines of values as columns by name."""

    def __init__(self, lines: Iterable[Sequence[Any]], names: Sequence[str]) -> None:
        columns = list(zip(*lines, strict=True)) or [()] * len(names)
        self._of: dict[str, Sequence[Any]] = dict(zip(names, columns, strict=True))

    @classmethod
    def of(cls, rows: QuerySet[Any], names: Sequence[str]) -> Columns:
        """Of the rows of a table."""
        return cls(rows.values_list(*names), names)

    def __getitem__(self, name: str) -> Sequence[Any]:
        return self._of[name]


def load_record(
    players: Iterable[UUID] | None = None,
    *,
    rounds: Iterable[UUID] | None = None,
    since: date | None = None,
    until: date | None = None,
) -> LoadedRecord:
    """The golf of the given players (or of everybody in the club in scope), in order of play."""
    rounds_found = _found(players, rounds, since, until)
    round_ids = list(rounds_found["id"])
    holes_found = packed.read_table(PlayedHole, HOLE, "round_id", Ids.of(round_ids))
    round_row = holes_found["round"].rows_in(Ids.of(round_ids))
    order = np.lexsort((holes_found["number"], round_row))
    holes_found, round_row = holes_found.ordered(order), round_row[order]
    # By the holes' keys and not by a join: right after a bulk of posts the planner has no statistics yet,
    # expects one row of everything, and takes minutes over a nested loop.
    hole_ids: Ids = holes_found["id"]
    shots_found = packed.read_table(Shot, SHOT, "played_hole_id", hole_ids)
    hole_row = shots_found["hole"].rows_in(hole_ids)
    order = np.lexsort((shots_found["number"], hole_row))
    shots_found, hole_row = shots_found.ordered(order), hole_row[order]
    players_found = sorted(set(rounds_found["player_id"]))
    courses = sorted(set(rounds_found["tee_set__course_id"]))
    clubs = sorted({club for club in shots_found["club"] if club})
    complete = np.zeros(len(hole_ids), dtype=np.bool_)
    complete[hole_row[shots_found["holed"]]] = True
    holes = _holes(rounds_found, holes_found, round_row, complete)
    return LoadedRecord(
        record=Record(
            _rounds(rounds_found, players_found, courses),
            holes,
            _shots(shots_found, holes, hole_row, clubs),
        ),
        players=players_found,
        courses=courses,
        round_ids=round_ids,
        hole_ids=hole_ids,
        shot_ids=shots_found["id"],
        clubs=clubs,
        balls=rounds_found["ball"],
        tee_sets=rounds_found["tee_set_id"],
        altitude=_floats(rounds_found["tee_set__course__altitude"]),
        women=bools(gender == Gender.WOMEN for gender in rounds_found["player__rating_gender"]),
        round_tags=rounds_found["tags"],
        shot_tags=shots_found["tags"],
    )


def _found(
    players: Iterable[UUID] | None, rounds: Iterable[UUID] | None, since: date | None, until: date | None
) -> Columns:
    if rounds is not None and players is None and since is None and until is None:
        return Columns(THESE_ROUNDS.found(keys=list(rounds)), _ROUND)
    selected = _in_order(Round.objects.all())
    if players is not None:
        selected = selected.filter(player_id__any_of=list(players))
    if rounds is not None:
        selected = selected.filter(id__any_of=list(rounds))
    if since is not None:
        selected = selected.filter(played_on__gte=since)
    if until is not None:
        selected = selected.filter(played_on__lte=until)
    return Columns.of(selected, _ROUND)


def _in_order(rounds: QuerySet[Round]) -> QuerySet[Round]:
    return rounds.order_by("player_id", "played_on", "start_time", "id")


THESE_ROUNDS = KeptStatement(
    lambda: _in_order(Round.objects.filter(id__any_of=ANY_KEYS)).values_list(*_ROUND)
)
HOLES_OF_TEES = KeptStatement(
    lambda: Hole.objects.filter(tee_set_id__any_of=ANY_KEYS).values_list(*_HOLE_OF_TEES)
)


def _rounds(rounds: Columns, players: list[UUID], courses: list[UUID]) -> Rounds:
    started = rounds["start_time"]
    return Rounds(
        player=numbers(numbered(players), rounds["player_id"]),
        day=ints(day.toordinal() for day in rounds["played_on"]),
        course=numbers(numbered(courses), rounds["tee_set__course_id"]),
        counting=bools(rounds["counting"]),
        competition=bools(rounds["competition"]),
        start_hour=_floats(None if time is None else time.hour + time.minute / 60 for time in started),
        temperature=_floats(rounds["temperature_c"]),
        wind_speed=_floats(rounds["wind_mph"]),
    )


def _holes(rounds: Columns, holes: Table, round_row: Ints, complete: Bools) -> Holes:
    par, length = _pars_and_lengths(rounds, round_row, holes["number"])
    return Holes(
        round=round_row,
        number=holes["number"],
        par=par,
        length=length,
        score=holes["score"],
        picked_up=holes["picked_up"],
        putts=holes["putts"],
        penalties=holes["penalties"],
        fairway_hit=holes["fairway_hit"],
        green_in_regulation=holes["green_in_regulation"],
        complete=complete,
    )


def _pars_and_lengths(rounds: Columns, round_row: Ints, hole_number: Ints) -> tuple[Ints, Floats]:
    """Par for the player and length of each hole, from the tees that were played."""
    tees = sorted(set(rounds["tee_set_id"]))
    tee_of_round = numbers(numbered(tees), rounds["tee_set_id"])
    is_man = bools(gender == Gender.MEN for gender in rounds["player__rating_gender"])
    stored = Columns(HOLES_OF_TEES.found(keys=tees), _HOLE_OF_TEES)
    # The row of each hole of the tees, by tees and number; a hole that was played and is not there is a fault.
    row_of = np.full((len(tees), 1 + max([0, *hole_number.tolist(), *stored["number"]])), UNKNOWN)
    row_of[numbers(numbered(tees), stored["tee_set_id"]), ints(stored["number"])] = np.arange(
        len(stored["number"])
    )
    played = row_of[tee_of_round[round_row], hole_number]
    if (played == UNKNOWN).any():
        raise KeyError("a hole was played that its tees do not have")
    pars = np.array([_counts(stored["par_women"]), _counts(stored["par_men"])])
    par: Ints = pars[is_man[round_row].astype(np.int64), played]
    return par, _floats(stored["length"])[played]


def _shots(shots: Table, holes: Holes, hole: Ints, clubs: list[str]) -> Shots:
    common: dict[str, Any] = {
        one.counted_in: shots[one.counted_in] for one in SHOT_FIELDS if one.array_is_plain
    }
    lie_after, distance_after = where_it_finished(hole, common["lie"], common["distance"], common["holed"])
    club_number = {"": UNKNOWN} | numbered(clubs)
    return Shots(
        round=holes.round[hole],
        hole=hole,
        number=shots["number"],
        par=holes.par[hole],
        lie_after=lie_after,
        distance_after=distance_after,
        club=numbers(club_number, shots["club"]).astype(np.int8),
        **common,
    )


def where_it_finished(hole: Ints, lie: Codes, distance: Floats, holed: Bools) -> tuple[Codes, Floats]:
    """Lie and distance after each shot: those of the next shot of the same hole."""
    lie_after = np.full(len(hole), UNKNOWN, dtype=np.int8)
    distance_after = np.where(holed, 0.0, np.nan)
    same_hole = np.flatnonzero(hole[:-1] == hole[1:]) if len(hole) else np.array([], dtype=np.int64)
    lie_after[same_hole] = lie[same_hole + 1]
    distance_after[same_hole] = distance[same_hole + 1]
    return lie_after, distance_after


def numbered(items: Sequence[ItemT]) -> dict[ItemT, int]:
    return {item: number for number, item in enumerate(items)}


def numbers(number_of: Mapping[ItemT, int], items: Sequence[ItemT]) -> Ints:
    return np.fromiter(map(number_of.__getitem__, items), dtype=np.int64, count=len(items))


def ints(values: Iterable[int]) -> Ints:
    return np.fromiter(values, dtype=np.int64)


def _counts(values: Iterable[int | None]) -> Ints:
    return np.fromiter((UNKNOWN if value is None else value for value in values), dtype=np.int64)


def _floats(values: Iterable[float | None]) -> Floats:
    return np.fromiter((np.nan if value is None else value for value in values), dtype=np.float64)


def bools(values: Iterable[bool]) -> Bools:
    return np.fromiter(values, dtype=np.bool_)
