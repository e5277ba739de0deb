"""The unofficial handicap record."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from courses.graphql.courses import found_course
from golfstats.api import bodies
from golfstats.api.problems import not_found
from golfstats.graphql.context import Info
from golfstats.graphql.paging import Order
from golfstats.graphql.rows import ClubType
from players import models, permissions
from players.api.handicap import TargetsQuery, rating_for
from players.coaching.history import today_at
from players.graphql.rounds import Named
from players.handicap.queries import handicaps_on_course, record_line, shown, targets, unofficial

LATEST_DECISIONS = Order(("-decided_at", "-id"))
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


@strawberry.type(description="A decision of the handicap committee, with who, when and why.")
class CommitteeAction(ClubType):
    model = models.CommitteeAction
    id: UUID
    kind: str
    words: str
    rule: str
    effective_on: dt.date
    expires_on: dt.date | None
    value: Decimal | None
    round: UUID | None
    exceptional: bool
    reason: str
    player_notified: bool
    decided_by: str | None
    decided_at: dt.datetime
    index_before: Decimal | None
    withdrawn_by: str | None
    withdrawn_at: dt.datetime | None


@strawberry.type
class HandicapTarget:
    lowest: int
    highest: int
    index: Decimal
    shown: str
    change: Decimal


@strawberry.type(description="Adjusted gross scores and the (unofficial) index that each would give.")
class HandicapTargets:
    official: bool
    notice: str
    player: Named
    index: Decimal | None
    shown: str | None
    section: str
    course_rating: Decimal
    slope_rating: int
    targets: list[HandicapTarget]


@strawberry.type
class SectionHandicap:
    section: str
    course_rating: Decimal
    slope_rating: int
    par: int
    course_handicap: int | None
    playing_handicaps: JSON = strawberry.field(description="By format.")


@strawberry.type
class TeeHandicaps:
    tee: Named
    sections: list[SectionHandicap]


@strawberry.type(description="Course and playing handicap (unofficial) on each tee.")
class HandicapsOnCourse:
    official: bool
    notice: str
    course: Named
    player: Named
    index: Decimal | None
    shown: str | None
    tees: list[TeeHandicaps]


@strawberry.type
class HandicapQuery:
    @strawberry.field(
        graphql_type=HandicapTargets | None,
        description="What a player would need to shoot; the section is 18, front or back.",
    )
    @staticmethod
    def handicap_targets(info: Info, player: UUID, tee: UUID, section: str = "18") -> Any:
        found = _player(info, player)
        asked = bodies.checked(TargetsQuery, {"tee": str(tee), "section": section})
        return targets(found, rating_for(found, asked), today_at(info.context.club))

    @strawberry.field(graphql_type=HandicapsOnCourse | None)
    @staticmethod
    def handicaps_on_course(info: Info, course: UUID, player: UUID) -> Any:
        place = found_course(course)
        return handicaps_on_course(place, _player(info, player), today_at(info.context.club))


def _player(info: Info, player_id: UUID) -> models.Player:
    found = permissions.visible_players(info.context.member).filter(id=player_id).first()
    if found is None:
        raise not_found("No player")
    return found


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
