"""What is read of a round for a list: to make objects of four models a round takes longer than all else of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from operator import attrgetter
from typing import NamedTuple
from uuid import UUID

from golfstats.ground.stretches import Plain
from players.rounds import models
from players.rounds.checking.warnings import Stored


class RoundLine(NamedTuple):
    """A round with its places."""

    id: UUID
    player_id: UUID
    player_name: str
    course_id: UUID
    course_name: str
    tee_id: UUID
    tee_name: str
    played_on: dt.date
    start_time: dt.time | None
    section: str
    format: str
    counting: bool
    competition: bool
    analysis: str
    analysis_reason: str
    version: int
    scores: Sequence[int] = ()
    """Of the holes played; not read for a head alone."""
    warnings: Sequence[Stored] = ()


_ELSEWHERE = {
    "player_name": "player__name",
    "course_id": "tee_set__course_id",
    "course_name": "tee_set__course__name",
    "tee_id": "tee_set_id",
    "tee_name": "tee_set__name",
}
"""Where a query finds what is no column of the round under its own name."""
_COLUMNS = {name: _ELSEWHERE.get(name, name) for name in RoundLine._fields}
_head_of_model = attrgetter(
    *(_COLUMNS[name].replace("__", ".") for name in _COLUMNS if name not in RoundLine._field_defaults)
)


PLAIN = Plain(tuple(_COLUMNS.values()), RoundLine._make)


def line_of(round_: models.Round) -> RoundLine:
    """Of a round that was loaded with its places."""
    return head_of(round_)._replace(scores=round_.scores, warnings=round_.warnings)


def head_of(round_: models.Round) -> RoundLine:
    """Without what its holes say."""
    return RoundLine(*_head_of_model(round_))
