"""What each club has had of a worker lately, in seconds: whoever had least comes next.

Shared and not capped, but for messages to other people's machines: a club alone has all of an idle worker, and nobody
has to be told a number.
"""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from uuid import UUID

FORGOTTEN_AFTER_SECONDS = 60.0
"""Work of so long ago counts for a third (1/e), of twice as long for a seventh."""
AT_LEAST_SECONDS = 0.001
"""What a piece counts for at least, so that clubs whose work takes no time at all still take turns."""


@dataclass
class Shares:
    """Of one process, whose threads may count together."""

    now: Callable[[], float] = time.monotonic
    _had: dict[UUID, tuple[float, float]] = field(default_factory=dict)
    """Seconds of each club, and when that was."""
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def of(self, club_id: UUID) -> float:
        """Seconds of work done for the club, older ones counting less."""
        seconds, then = self._had.get(club_id, (0.0, 0.0))
        return seconds * math.exp((then - self.now()) / FORGOTTEN_AFTER_SECONDS)

    @contextmanager
    def measured(self, club_id: UUID) -> Iterator[None]:
        """Count what is done within it. A thread that works beside it sees the club served from the beginning on."""
        began = self.now()
        self._add(club_id, AT_LEAST_SECONDS)
        try:
            yield
        finally:
            self._add(club_id, self.now() - began)

    def _add(self, club_id: UUID, seconds: float) -> None:
        with self._lock:
            self._had[club_id] = (self.of(club_id) + seconds, self.now())
