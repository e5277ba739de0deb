"""The unofficial handicap record."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.graphql.paging import Order
from golfstats.graphql.rows import ClubType
from players import models
from players.handicap.queries import record_line, shown, unofficial

NEWEST_SCORE = Order(("-sequence", "-id"))


@strawberry.type
class HandicapLine(ClubType):
    model = models.HandicapLine
    round: UUID | None
    played_on: dt.date
    state: str
    reason: str
    holes_played: int
    adjusted_gross_score: int | None
    course_rating: Decimal | None
    slope_rating: int | None
    pcc: int | None
    differential: Decimal | None
    adjusted_differential: Decimal | None
    adjustments: JSON
    estimated: bool
    in_last_20: bool = strawberry.field(name="inLast20")
    in_best_8: bool = strawberry.field(name="inBest8")
    index_before: Decimal | None
    index_after: Decimal | None
    low_index: Decimal | None
    exceptional: Decimal
    capped: bool
    explanation: JSON = strawberry.field(description="Hole by hole and rule by rule.")


@strawberry.type(description="Unofficial: only an authorised association issues a Handicap Index.")
class Handicap(ClubType):
    model = models.PlayerHandicap
    official: bool
    notice: str
    index: Decimal | None
    shown: str | None
    low_index: Decimal | None
    scores_in_last_20: int = strawberry.field(name="scoresInLast20")
    computed_at: dt.datetime
    trend: JSON
    committee: JSON
    left_out: JSON


def handicap_line(stored: models.PlayerHandicap) -> dict[str, Any]:
    document = stored.document
    return unofficial(
        {
            "index": stored.index,
            "shown": shown(stored.index),
            "low_index": stored.low_index,
            "scores_in_last_20": stored.scores,
            "computed_at": stored.computed_at,
            "trend": document.get("trend", []),
            "committee": document.get("actions", []),
            "left_out": document.get("left_out", []),
        }
    )


def explained_line(line: models.HandicapLine) -> dict[str, Any]:
    explained = ("edition", "course_handicap", "par", "holes", "steps")
    return record_line(line) | {"explanation": {name: line.detail[name] for name in explained}}
