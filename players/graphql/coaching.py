"""The shapes of what a coach asks: trends, priorities, goals, notes, attention. REST's words fill them."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID

import strawberry

from golfstats.graphql.paging import last_of
from golfstats.graphql.rows import ClubType, Row
from players import models
from players.api.coach_view import chance_json
from players.api.figures import figure_json
from players.coaching.report import StoredPriorities, StoredPriority
from players.graphql.figures import Chance, Figure, FigureName, Pair
from players.graphql.rounds import Named


@strawberry.type
class TrendRound:
    round: UUID
    played_on: dt.date
    value: float | None
    n: int
    level: float | None
    low: float | None
    high: float | None


@strawberry.type
class TrendChange:
    day: dt.date
    change: Figure
    chance_better: Chance | None
    words: str


@strawberry.type
class LevelShift:
    day: dt.date
    size: Figure
    better: bool
    words: str


@strawberry.type(description="A figure over time: its level now and by round with its 90% band.")
class Trend(FigureName):
    now: Figure
    compared_with: TrendChange
    level_shift: LevelShift | None

    @strawberry.field(graphql_type=list[TrendRound], description="The last so many rounds, oldest first.")
    @staticmethod
    def rounds(trend: strawberry.Parent[dict[str, Any]], last: int = 20) -> Any:
        return last_of(trend["rounds"], last)


@strawberry.type(description="What closing a share of the gap would do.")
class PriorityEffect:
    share: float
    fewer_strokes: Figure
    index_before: float | None
    index_after: Figure | None


@strawberry.type
class Priority:
    group: str
    rank: int | None = strawberry.field(description="1 is the first to work on; null with too few shots.")
    words: str
    to_gain: Figure
    chance: Chance | None
    effect: PriorityEffect | None


@strawberry.type(description="As the worker stored them after the last round.")
class Priorities:
    benchmark: str
    rounds: int
    parts: list[Priority]
    bands: list[Priority]


@strawberry.type(description="Strokes a round to gain in a part of the game or from a band of distances.")
class RankedGroup:
    group: str
    rank: int | None = strawberry.field(description="1 is the first to work on; null with too few shots.")
    words: str
    shots_a_round: float
    gap: Figure
    to_gain: Figure
    sure: float | None
    chance: Chance | None
    effect: PriorityEffect | None


@strawberry.type(description="Computed for this answer, against any benchmark or the golfer to become.")
class PlayerPriorities:
    player: Named
    benchmark: str
    share: float
    rounds: int
    parts: list[RankedGroup]
    bands: list[RankedGroup]


@strawberry.type
class GoalWindow:
    rounds: int | None
    days: int | None


@strawberry.type
class GoalProgress:
    now: Figure
    expected_rounds: float | None
    chance: Chance | None
    words: str


@strawberry.type
class GoalPoint:
    day: dt.date
    value: float | None


@strawberry.type
class Goal(ClubType):
    model = models.Goal
    id: UUID
    player: Named
    figure: FigureName
    target: float
    window: GoalWindow
    due_on: dt.date
    state: str
    set_by: str | None
    set_at: dt.datetime
    closed_at: dt.datetime | None
    value_at_start: float | None
    value_at_close: float | None
    note: str
    progress: GoalProgress

    @strawberry.field(
        graphql_type=list[GoalPoint], description="After the last so many rounds, oldest first."
    )
    @staticmethod
    def history(goal: strawberry.Parent[Row], last: int = 20) -> Any:
        return last_of(goal.line["history"], last)


@strawberry.type
class NoteFigure(FigureName):
    before: Figure
    after: Figure
    comparison: Pair


@strawberry.type
class PracticeNote(ClubType):
    model = models.PracticeNote
    id: UUID
    player: Named
    written_by: str | None
    written_at: dt.datetime
    practised_on: dt.date
    text: str
    figure: NoteFigure | None


@strawberry.type
class AttentionItem:
    player: Named
    kind: str
    item: str
    reason: str
    figure: Figure | None
    began: dt.date
    dismissed: bool


def priorities_line(stored: StoredPriorities) -> dict[str, Any]:
    """Stored priorities in the words of REST's."""
    return {
        "benchmark": stored.benchmark,
        "rounds": stored.rounds,
        "parts": [_priority_line(one) for one in stored.parts],
        "bands": [_priority_line(one) for one in stored.bands],
    }


def _priority_line(stored: StoredPriority) -> dict[str, Any]:
    return {
        "group": stored.key,
        "rank": stored.rank,
        "words": stored.words,
        "to_gain": figure_json(stored.to_gain, of="shot"),
        "chance": chance_json(stored.chance),
        "effect": _effect_line(stored),
    }


def _effect_line(stored: StoredPriority) -> dict[str, Any] | None:
    if stored.fewer_strokes is None:
        return None
    return {
        "share": stored.share,
        "fewer_strokes": figure_json(stored.fewer_strokes, of="shot"),
        "index_before": stored.index_before,
        "index_after": None if stored.index_after is None else figure_json(stored.index_after, of="shot"),
    }
