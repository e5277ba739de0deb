"""What the worker does for coaches."""

from __future__ import annotations

from uuid import UUID

from golfstats.outbox import work
from golfstats.outbox.work import handler
from players import analysis, posting
from players.coaching import goals, imports
from players.models import Goal


@handler(goals.GOAL_DUE)
def goal_is_due(key: str) -> None:
    """The goal's date has passed: the player's report decides what became of it."""
    goal = Goal.objects.filter(id=key, closed_at=None).first()
    if goal is not None:
        work.ask(posting.PLAYER_REPORT, str(goal.player_id))


@handler(imports.IMPORT, on_failure=lambda key, reason: imports.mark_failed(UUID(key), reason))
def import_rounds(key: str) -> None:
    """The next piece of an import."""
    imports.go_on(UUID(key))


@handler(imports.BULK_ANALYSIS)
def analyse_pending(key: str) -> None:  # noqa: ARG001 - all pending rounds of the club, whoever asked
    """One pass over all rounds that wait, instead of a pass over each."""
    analysis.analyse_pending()
