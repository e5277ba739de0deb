"""What keeps one of the server's threads for long: few at once in a process, so that others are answered meanwhile.

A process usually has eight threads. Four may wait for a worker (``golfstats.doors.rest.http.waiting``); these here
check a password, wait for a request of the same key, look a name up, or take in many rounds.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from golfstats.ground.faults import ProblemError, Refusal

AT_ONCE = 3
"""With the four that wait, one thread less than a process usually has."""

_seats = threading.BoundedSemaphore(AT_ONCE)


@contextmanager
def seat() -> Iterator[None]:
    """Held while it takes. Refused if none is free: waiting for one would take the thread that is to be kept."""
    if not _seats.acquire(blocking=False):
        title = "Others ask for something long at this moment: ask again in a second"
        raise ProblemError("busy", title, Refusal.UNAVAILABLE, headers={"Retry-After": "1"})
    try:
        yield
    finally:
        _seats.release()
