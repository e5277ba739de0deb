"""``Prefer: wait=5`` (RFC 7240, 4.3): the answer comes once the worker is done, if that is soon.

A request that waits holds one of the server's threads and no database transaction; so only some may wait at once,
and others are answered at once, as if they had not asked.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable

from django.http import HttpRequest

LONGEST_SECONDS = 10
AT_ONCE = 4
"""Half of the threads that a process usually has."""
LOOK_EVERY_SECONDS = 0.1

_seats = threading.BoundedSemaphore(AT_ONCE)


def seconds_preferred(request: HttpRequest) -> int:
    preference = re.search(r"(?:^|[,;\s])wait=(\d{1,4})", request.headers.get("Prefer", ""))
    return min(int(preference[1]), LONGEST_SECONDS) if preference else 0


def wait_while(is_pending: Callable[[], bool], seconds: int) -> bool:
    """Wait for the end, but no longer than this. False if too many wait already."""
    if not _seats.acquire(blocking=False):
        return False
    try:
        ends = time.monotonic() + seconds
        while is_pending() and time.monotonic() < ends:
            time.sleep(LOOK_EVERY_SECONDS)
    finally:
        _seats.release()
    return True
