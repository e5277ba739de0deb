"""What the worker does for files of rounds."""

from __future__ import annotations

from uuid import UUID

from golfstats.ground.outbox.work import AGAIN, Queue, handler
from players.conditions import analysis
from players.files import services as imports


@handler(
    imports.IMPORT,
    on_failure=lambda key, reason: imports.mark_failed(UUID(key), reason),
    queue=Queue.LONG,
)
def import_rounds(key: str) -> str | None:
    """The next piece of an import."""
    return AGAIN if imports.go_on(UUID(key)) else None


@handler(imports.BULK_ANALYSIS, queue=Queue.LONG)
def analyse_pending(_: str) -> None:
    """One pass over all rounds that wait, instead of a pass over each."""
    analysis.analyse_pending()
