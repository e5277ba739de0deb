"""Threads of the server that do the outstanding work when there is no Redis, one or two for each queue.

One process calls :func:`start` once it is ready to serve. The same functions run as in a Celery worker.
"""

from __future__ import annotations

import atexit
import logging
import threading

from django.conf import settings
from django.db import connection

from golfstats.ground.outbox import worker
from golfstats.ground.outbox.work import Queue, wakers

logger = logging.getLogger(__name__)

THREADS = (Queue.QUICK, Queue.LONG, Queue.MESSAGES, Queue.MESSAGES)
"""A receiver that hangs takes one of the two that send; the other goes on with other clubs' messages."""
SWEEP_EVERY_SECONDS = 30.0
STOP_WITHIN_SECONDS = 10.0


class WorkerThread:
    """Sweeps its queue when woken and at least every half minute, until stopped."""

    def __init__(self, queue: Queue) -> None:
        self.queue = queue
        self._woken = threading.Event()
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name=f"outbox {queue}", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def wake(self) -> None:
        self._woken.set()

    def stop(self) -> None:
        """Begin nothing more."""
        self._stopping.set()
        self._woken.set()

    def join(self) -> None:
        """Wait for the end of the piece of work in hand, if that is soon."""
        self._thread.join(STOP_WITHIN_SECONDS)

    def is_alive(self) -> bool:
        return self._thread.is_alive()

    def _run(self) -> None:
        while not self._stopping.is_set():
            self._woken.clear()
            if not self._sweeps_in_vain():
                connection.close()
            self._woken.wait(SWEEP_EVERY_SECONDS)
        connection.close()

    def _sweeps_in_vain(self) -> bool:
        """Whether nothing was to be done. Then the connection is kept: a new one costs more than looking for work.

        After work it goes, and with it the memory that the database took for it.
        """
        try:
            if connection.connection is not None and not connection.is_usable():
                connection.close()
            return not worker.sweep(stop=self._stopping.is_set, queue=self.queue)
        except Exception:
            logger.exception("the sweep failed and is tried again")
            return False


_lock = threading.Lock()
_running: list[WorkerThread] = []


def start() -> None:
    """Start this process's threads, unless they run already or Celery does the work."""
    with _lock:
        if settings.REDIS_URL or any(one.is_alive() for one in _running):
            return
        _running[:] = [WorkerThread(queue) for queue in THREADS]
        for one in _running:
            one.start()
        wakers[:] = [wake]
        atexit.register(stop)


def wake(queue: Queue) -> None:
    """Let this process's threads look for work now. Without any the work waits for a process that has them."""
    for one in _running:
        if one.queue == queue:
            one.wake()


def stop() -> None:
    """End this process's threads; the pieces of work in hand are finished first if that is soon."""
    with _lock:
        for one in _running:
            one.stop()
        for one in _running:
            one.join()
        _running.clear()
