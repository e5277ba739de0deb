"""A thread of the server that does the outstanding work when there is no Redis.

One process calls :func:`start` once it is ready to serve. The same functions run as in a Celery worker.
"""

from __future__ import annotations

import atexit
import logging
import threading

from django.conf import settings
from django.db import connection

from golfstats.outbox import worker

logger = logging.getLogger(__name__)

SWEEP_EVERY_SECONDS = 30.0
STOP_WITHIN_SECONDS = 10.0


class WorkerThread:
    """Sweeps when woken and at least every half minute, until stopped."""

    def __init__(self) -> None:
        self._woken = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="outbox", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def wake(self) -> None:
        self._woken.set()

    def stop(self) -> None:
        """Finish the piece of work in hand, if that is soon, and end."""
        self._stopping.set()
        self._woken.set()
        self._thread.join(STOP_WITHIN_SECONDS)

    def is_alive(self) -> bool:
        return self._thread.is_alive()

    def _run(self) -> None:
        while not self._stopping.is_set():
            self._woken.clear()
            try:
                worker.sweep(stop=self._stopping.is_set)
            except Exception:
                logger.exception("the sweep failed and is tried again")
            finally:
                connection.close()
            self._woken.wait(SWEEP_EVERY_SECONDS)


_lock = threading.Lock()
_running: WorkerThread | None = None


def start() -> None:
    """Start this process's thread, unless it runs already or Celery does the work."""
    global _running  # noqa: PLW0603 - one thread a process
    with _lock:
        if settings.REDIS_URL or (_running is not None and _running.is_alive()):
            return
        _running = WorkerThread()
        _running.start()
        atexit.register(stop)


def wake() -> None:
    """Let this process's thread look for work now. Without one the work waits for a process that has one."""
    if _running is not None:
        _running.wake()


def stop() -> None:
    """End this process's thread; the piece of work in hand is finished first if that is soon."""
    global _running  # noqa: PLW0603
    with _lock:
        if _running is not None:
            _running.stop()
            _running = None
