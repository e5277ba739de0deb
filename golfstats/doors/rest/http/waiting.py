"""``Prefer: wait=5`` (RFC 7240, 4.3): the answer comes once the worker is done, if that is soon.

A request that waits holds one of the server's threads and no database transaction; so only some may wait at once,
and others are answered at once, as if they had not asked. The clubs share what there is: one that holds most of the
seats gives one up to another that holds fewer, so that no club's programs keep a second club's from waiting.
"""

from __future__ import annotations

import re
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from uuid import UUID

from django.http import HttpRequest

LONGEST_SECONDS = 10
AT_ONCE = 4
"""Half of the threads that a process usually has."""
LOOK_EVERY_SECONDS = 0.1


def seconds_preferred(request: HttpRequest) -> int:
    preference = re.search(r"(?:^|[,;\s])wait=(\d{1,4})", request.headers.get("Prefer", ""))
    return min(int(preference[1]), LONGEST_SECONDS) if preference else 0


@dataclass(eq=False)
class Place:
    """Where one request of a club waits."""

    club: UUID
    given_up: bool = False


@dataclass
class Places:
    """Of one process."""

    _taken: list[Place] = field(default_factory=list)
    """Longest waiting first."""
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def place(self, club: UUID) -> Iterator[Place | None]:
        """Held while it waits; None if there is none for the club."""
        mine = self._take(club)
        try:
            yield mine
        finally:
            with self._lock:
                self._taken[:] = [one for one in self._taken if one is not mine]

    def _take(self, club: UUID) -> Place | None:
        with self._lock:
            if len(self._taken) >= AT_ONCE and not self._make_room(club):
                return None
            mine = Place(club)
            self._taken.append(mine)
            return mine

    def _make_room(self, club: UUID) -> bool:
        """Take one from the club that has most, if that still leaves it as many as this club then has."""
        held = Counter(one.club for one in self._taken)
        whose, most = held.most_common(1)[0]
        if held[club] + 1 > most - 1:
            return False
        longest = next(one for one in self._taken if one.club == whose)
        longest.given_up = True
        self._taken.remove(longest)
        return True


_places = Places()


def wait_while(club: UUID, is_pending: Callable[[], bool], seconds: int) -> bool:
    """Wait for the end, but no longer than this. False if there was no place, or another club was given it."""
    with _places.place(club) as mine:
        if mine is None:
            return False
        ends = time.monotonic() + seconds
        while not mine.given_up and is_pending() and time.monotonic() < ends:
            time.sleep(LOOK_EVERY_SECONDS)
        return not mine.given_up
