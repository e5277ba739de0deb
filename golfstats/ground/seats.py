"""What keeps one of the server's threads for long: few at once in a process, so that others are answered meanwhile.

A process usually has eight threads. Four may wait for a worker (``golfstats.doors.rest.http.waiting``); these here
check a password, wait for a request of the same key, look a name up, or take in many rounds.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from uuid import UUID

from golfstats.ground.faults import ProblemError, Refusal
from golfstats.sentences import Sentence

AT_ONCE = 3
"""With the four that wait, one thread less than a process usually has."""

OF_A_CLUB = AT_ONCE - 1
"""So many of them for one club, or its imports would keep everybody else from signing in."""

_taken: Counter[UUID | None] = Counter()
_lock = threading.Lock()


@contextmanager
def seat(club_id: UUID | None = None) -> Iterator[None]:
    """Held while it takes. Refused if none is free: waiting for one would take the thread that is to be kept.

    ``club_id``: for which club it is, if for one.
    """
    _take(club_id)
    try:
        yield
    finally:
        with _lock:
            _taken[club_id] -= 1
            if not _taken[club_id]:
                del _taken[club_id]


def _take(club_id: UUID | None) -> None:
    with _lock:
        if _taken.total() < AT_ONCE and (club_id is None or _taken[club_id] < OF_A_CLUB):
            _taken[club_id] += 1
            return
    title = Sentence("Others ask for something long at this moment: ask again in a second")
    raise ProblemError("busy", title, Refusal.UNAVAILABLE, headers={"Retry-After": "1"})
