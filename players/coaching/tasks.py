"""What the worker does for coaches."""

from __future__ import annotations

from uuid import UUID

from golfstats.ground.outbox import work
from golfstats.ground.outbox.work import handler
from players import kinds
from players.coaching import goals
from players.coaching.models import Goal
from players.coaching.reports import report


@handler(goals.GOAL_DUE)
def goal_is_due(key: str) -> None:
    """The goal's date has passed: the player's report decides what became of it."""
    goal = Goal.objects.filter(id=key, closed_at=None).first()
    if goal is not None:
        work.ask(kinds.PLAYER_REPORT, str(goal.player_id))


@handler(kinds.PLAYER_REPORT, snapshot=True)
def write_report(key: str) -> None:
    """What a dashboard shows of a player."""
    report.write_player_report(UUID(key))
