"""The coach's part of a player's stored report: small, typed, and read back as it was written."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID

from pydantic import TypeAdapter

from golfstats.calc.figure import Figure
from golfstats.calc.observations import FigureSpec
from golfstats.clubs.models import Club
from players.coaching.attention import StoredItem, items_of
from players.coaching.goals import GoalStanding, refresh_goals
from players.coaching.history import DASHBOARD_FIGURES, today_at
from players.coaching.index_replay import index_replay
from players.coaching.priorities import RankedGroup, priorities
from players.coaching.trends import PlayerTrend, trends
from players.queries.analysed import Golf

ROUNDS_KEPT = 20
"""A stored trend keeps the levels of so many rounds."""
GROUPS_KEPT = 5


@dataclass(frozen=True)
class StoredSpec:
    key: str
    name: str
    better: str
    per: str


@dataclass(frozen=True)
class StoredLevel:
    played_on: date
    value: float | None
    level: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class StoredTrend:
    figure: StoredSpec
    now: Figure
    compared_with: date
    change: Figure
    chance_better: float | None
    words: str
    shift_words: str
    rounds: list[StoredLevel]


@dataclass(frozen=True)
class StoredPriority:
    key: str
    words: str
    rank: int | None
    to_gain: Figure
    chance: float | None
    share: float | None
    fewer_strokes: Figure | None
    index_before: float | None
    index_after: Figure | None


@dataclass(frozen=True)
class StoredPriorities:
    benchmark: str
    rounds: int
    parts: list[StoredPriority]
    bands: list[StoredPriority]


@dataclass(frozen=True)
class StoredGoal:
    id: UUID
    figure: StoredSpec
    target: float
    due_on: date
    state: str
    now: Figure
    chance: float | None
    words: str


@dataclass(frozen=True)
class CoachingReport:
    """The sections ``trends``, ``priorities``, ``goals`` and ``attention`` of a stored report."""

    trends: list[StoredTrend] = field(default_factory=list)
    priorities: StoredPriorities | None = None
    goals: list[StoredGoal] = field(default_factory=list)
    attention: list[StoredItem] = field(default_factory=list)


_REPORT = TypeAdapter(CoachingReport)


def coaching_sections(golf: Golf, player_id: UUID) -> dict[str, Any]:
    """The sections as JSON, worked out from all rounds of this player; brings his goals up to date as well."""
    club = Club.objects.get()
    today = today_at(club)
    goals = refresh_goals(golf, player_id, today)
    ranked = priorities(golf, index_replay(player_id, golf))
    found = trends(golf, player_id, DASHBOARD_FIGURES, today)
    report = CoachingReport(
        trends=[_trend(one) for one in found],
        priorities=StoredPriorities(
            ranked.benchmark,
            ranked.rounds,
            [_priority(one) for one in ranked.parts],
            [_priority(one) for one in ranked.bands[:GROUPS_KEPT]],
        ),
        goals=[_goal(one) for one in goals],
        attention=items_of(golf, player_id, found, goals, today),
    )
    sections: dict[str, Any] = _REPORT.dump_python(report, mode="json")
    return sections


def coaching_report(document: dict[str, Any] | None) -> CoachingReport:
    """The sections of a stored document; empty where the worker has not come to them yet."""
    found = document or {}
    sections = ("trends", "priorities", "goals", "attention")
    return _REPORT.validate_python({name: found[name] for name in sections if name in found})


def _spec(spec: FigureSpec) -> StoredSpec:
    return StoredSpec(spec.key, spec.words, spec.better, spec.per)


def _trend(trend: PlayerTrend) -> StoredTrend:
    return StoredTrend(
        figure=_spec(trend.spec),
        now=trend.now,
        compared_with=trend.change.day,
        change=trend.change.change,
        chance_better=trend.change.chance_better,
        words=trend.change.words,
        shift_words=trend.shift.words if trend.shift else "",
        rounds=[
            StoredLevel(one.played_on, *map(_short, (one.value, one.level, one.low, one.high)))
            for one in trend.rounds[-ROUNDS_KEPT:]
        ],
    )


def _short(value: float | None) -> float | None:
    """Four decimals are finer than any chart shows."""
    return None if value is None else round(value, 4)


def _priority(ranked: RankedGroup) -> StoredPriority:
    effect = ranked.effect
    return StoredPriority(
        key=ranked.group.key,
        words=ranked.words,
        rank=ranked.rank,
        to_gain=ranked.priority.to_gain,
        chance=ranked.priority.chance,
        share=effect.share if effect else None,
        fewer_strokes=effect.fewer_strokes if effect else None,
        index_before=effect.index_before if effect else None,
        index_after=effect.index_after if effect else None,
    )


def _goal(standing: GoalStanding) -> StoredGoal:
    goal, progress = standing.goal, standing.progress
    return StoredGoal(
        id=goal.id,
        figure=_spec(standing.spec),
        target=goal.target,
        due_on=goal.due_on,
        state=progress.state.value,
        now=progress.now,
        chance=progress.chance,
        words=standing.words,
    )
