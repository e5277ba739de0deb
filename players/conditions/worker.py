"""What the worker does about conditions."""

from __future__ import annotations

from courses.services.greens import GREENS_CHANGED
from golfstats.outbox import work


@work.handler(GREENS_CHANGED)
def greens_changed(key: str) -> None:
    """The surface of a course was other than thought on some days."""
