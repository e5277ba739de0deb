"""A whole club's golf, as bare as the nightly fits read it: of each shot where it was played from, and how it ended.

A statement for each table, of the club and not of keys: with every column and by key, five years of forty players took
four times the processor time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np

from courses.layout.models import Gender
from golfstats.calc.record import Bools, Holes, Ints, Record, Rounds, Shots
from golfstats.calc.vocabulary import UNKNOWN
from players.golf import packed
from players.golf.loading import HOLE, SHOT, Columns, bools, ints, numbered, numbers, where_it_finished
from players.golf.packed import Ids, Table
from players.rounds.models import PlayedHole, Round, Shot

_ROUND = ("id", "player_id", "player__rating_gender", "tee_set__course_id", "played_on")
_HOLE = {name: HOLE[name] for name in ("id", "round", "number", "score", "picked_up")}
_SHOT = {name: SHOT[name] for name in ("hole", "number", "lie", "distance", "holed", "penalty")}


@dataclass(frozen=True)
class BareGolf:
    """Everybody's golf of the club in scope."""

    record: Record
    """In order of play. Nothing is known in the columns that are not read."""
    players: Sequence[UUID]
    """Player numbers of ``record.rounds.player`` index into this."""
    courses: Sequence[UUID]
    round_ids: Sequence[UUID]
    women: Bools
    """Whether each round's player is rated as a woman."""


def load_bare() -> BareGolf:
    """Three statements."""
    rounds = Columns.of(Round.objects.order_by("player_id", "played_on", "start_time", "id"), _ROUND)
    holes, round_row = _beneath(Ids.of(rounds["id"]), packed.read_all(PlayedHole, _HOLE), "round")
    shots, hole_row = _beneath(holes["id"], packed.read_all(Shot, _SHOT), "hole")
    complete = np.zeros(len(round_row), dtype=np.bool_)
    complete[hole_row[shots["holed"]]] = True
    players, courses = sorted(set(rounds["player_id"])), sorted(set(rounds["tee_set__course_id"]))
    lie_after, distance_after = where_it_finished(hole_row, shots["lie"], shots["distance"], shots["holed"])
    record = Record(
        Rounds.unknown(
            len(rounds["id"]),
            player=numbers(numbered(players), rounds["player_id"]),
            course=numbers(numbered(courses), rounds["tee_set__course_id"]),
            day=ints(day.toordinal() for day in rounds["played_on"]),
        ),
        Holes.unknown(
            len(round_row),
            round=round_row,
            number=holes["number"],
            score=holes["score"],
            picked_up=holes["picked_up"],
            complete=complete,
        ),
        Shots.unknown(
            len(hole_row),
            round=round_row[hole_row],
            hole=hole_row,
            number=shots["number"],
            lie=shots["lie"],
            distance=shots["distance"],
            lie_after=lie_after,
            distance_after=distance_after,
            holed=shots["holed"],
            penalty=shots["penalty"],
        ),
    )
    women = bools(gender == Gender.WOMEN for gender in rounds["player__rating_gender"])
    return BareGolf(record, players, courses, list(rounds["id"]), women)


def _beneath(above: Ids, rows: Table, key: str) -> tuple[Table, Ints]:
    """The rows that belong to one of these, in their order and each by its number; and to which each belongs.

    What was posted since those were read is left out.
    """
    row = rows.take_out(key).places_in(above)
    order = np.lexsort((rows["number"], row))[np.sum(row == UNKNOWN) :]
    return rows.ordered(order), row[order]
