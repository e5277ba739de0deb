"""How often something happened lately: for throttles and for wrong passwords.

Counted in windows of fixed length; what happened in the last window counts as if it had been spread evenly
over it, so that no moment lets twice as much through. Counting is one atomic step, wherever it is kept:

- in the cache (``CACHE_URL``), for all processes together;
- without one in PostgreSQL, for all processes together as well;
- in this process, for the embedded server, and while the other two cannot be reached.
"""

from __future__ import annotations

import hashlib
import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from django.conf import settings
from django.core.cache import cache
from django.db import Error, connection
from redis.exceptions import RedisError

logger = logging.getLogger(__name__)

LEFT_ALONE_SECONDS = 5.0
"""So long nobody asks again after something that keeps counts could not be reached."""
KEPT_IN_A_PROCESS = 100_000

UPSERT = """
    INSERT INTO clubs_counted AS counted (key, "window", present, previous) VALUES (%(key)s, %(window)s, %(by)s, 0)
    ON CONFLICT (key) DO UPDATE SET
        previous = CASE counted."window" WHEN %(window)s THEN counted.previous
                                         WHEN %(window)s - 1 THEN counted.present ELSE 0 END,
        present = CASE counted."window" WHEN %(window)s THEN counted.present ELSE 0 END + %(by)s,
        "window" = %(window)s
    RETURNING present, previous
"""


class Counts(Protocol):
    def add(self, key: str, window: int, seconds: int, by: int) -> tuple[int, int]:
        """Add to what is counted in this window; gives that and the count of the window before."""


@dataclass
class InProcess:
    """Counts of this process alone."""

    _counts: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def add(self, key: str, window: int, seconds: int, by: int) -> tuple[int, int]:
        del seconds
        with self._lock:
            then, present, previous = self._counts.get(key, (window, 0, 0))
            if then != window:
                present, previous = 0, present if then == window - 1 else 0
            if len(self._counts) >= KEPT_IN_A_PROCESS:
                self._counts.clear()
            self._counts[key] = (window, present + by, previous)
            return present + by, previous

    def clear(self) -> None:
        self._counts.clear()


class InCache:
    def add(self, key: str, window: int, seconds: int, by: int) -> tuple[int, int]:
        name = f"{key}:{window}"
        cache.add(name, 0, timeout=2 * seconds)
        return cache.incr(name, by), int(cache.get(f"{key}:{window - 1}", 0))


class InDatabase:
    """In a table without a log: after a crash of the server counting begins anew."""

    def add(self, key: str, window: int, seconds: int, by: int) -> tuple[int, int]:
        del seconds
        with connection.cursor() as cursor:
            cursor.execute(UPSERT, {"key": key, "window": window, "by": by})
            present, previous = cursor.fetchone()
        return int(present), int(previous)


in_process = InProcess()
_kept_in: dict[str, Counts] = {"cache": InCache(), "database": InDatabase(), "process": in_process}
_left_alone_until = 0.0


def lately(what: str, seconds: int, *, by: int = 0, now: Callable[[], float] = time.time) -> float:
    """How often ``what`` happened in the last ``seconds``, with ``by`` more of it."""
    key = hashlib.sha256(what.encode()).hexdigest()  # who it is about is nobody's business
    moment = now()
    window = int(moment // seconds)
    present, previous = _add(key, window, seconds, by)
    return present + previous * (1 - moment / seconds % 1)


def allowed(what: str, limit: int, seconds: int, *, now: Callable[[], float] = time.time) -> bool:
    """Count it if it stays within the limit; False, and not counted, if it does not."""
    return room_left(what, limit, seconds, now=now) is not None


def room_left(what: str, limit: int, seconds: int, *, now: Callable[[], float] = time.time) -> int | None:
    """Count it, and say how many more stay within the limit; None, and not counted, if it does not itself."""
    used = lately(what, seconds, by=1, now=now)
    if used <= limit:
        return int(limit - used)
    lately(what, seconds, by=-1, now=now)
    return None


def seconds_left(seconds: int, *, now: Callable[[], float] = time.time) -> int:
    """Whole seconds until the present window ends: by then room has been made."""
    return int(seconds - now() % seconds) + 1


def _add(key: str, window: int, seconds: int, by: int) -> tuple[int, int]:
    global _left_alone_until  # noqa: PLW0603 - one for the process
    if time.monotonic() >= _left_alone_until:
        try:
            return _kept_in[settings.COUNTS_IN].add(key, window, seconds, by)
        except (RedisError, OSError, Error, ValueError):
            # ValueError: the cache forgot the window between two steps.
            logger.warning(
                "what was asked lately is counted in this process alone for a while", exc_info=True
            )
            _left_alone_until = time.monotonic() + LEFT_ALONE_SECONDS
    return in_process.add(key, window, seconds, by)
