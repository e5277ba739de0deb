"""What the worker does about handicaps."""

from __future__ import annotations

from uuid import UUID

from golfstats.ground.outbox import work
from golfstats.ground.outbox.work import handler
from players import kinds
from players.handicap import recompute


@handler(kinds.HANDICAP)
def recompute_handicap(key: str) -> None:
    """A player's handicap record, from the first score on."""
    recompute.recompute(UUID(key))


@handler(recompute.DECISION_DUE)
def decision_is_due(key: str) -> None:
    """A committee's decision begins today, or held until yesterday."""
    work.ask(kinds.HANDICAP, key)
