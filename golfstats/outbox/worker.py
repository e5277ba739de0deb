"""Doing what is outstanding.

Taking a piece of work writes down the attempt and when it would be tried again, and commits that. The
work then runs in a transaction of its own that holds an advisory lock on it. So a worker that dies loses
the lock with its connection, the row falls due like that of a failed attempt, and an attempt is counted
even when the work killed the process. The row goes after the work has committed, and not with it: a
handler's locks then never wait for a request that asks for the same work.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from uuid import UUID

from django.db import connection, transaction
from django.db.models import QuerySet
from django.db.models.functions import Now

from golfstats.clubs.scope import club_scope
from golfstats.outbox.models import OutstandingWork, WorkerHeartbeat
from golfstats.outbox.work import UNFINISHED, handlers

logger = logging.getLogger(__name__)

HEARTBEAT = "worker"
SWEEP_SECONDS = 60.0
"""A sweep begins nothing new after this time, so that it ends well within a task's time limit."""
WORKER_DIED = "the worker stopped while doing this"


def sweep(stop: Callable[[], bool] | None = None) -> int:
    """Show that a worker lives, then do what is due for a while. Gives the number of attempts made.

    ``stop`` is asked before each piece of work is begun.
    """
    WorkerHeartbeat.objects.update_or_create(name=HEARTBEAT, defaults={"beat_at": Now()})
    ends = time.monotonic() + SWEEP_SECONDS
    return drain(stop=lambda: time.monotonic() > ends or (stop is not None and stop()))


def drain(limit: int | None = None, only: UUID | None = None, stop: Callable[[], bool] | None = None) -> int:
    """Do what is due, oldest first, until nothing is left. Gives the number of attempts made.

    ``limit``: at most so many attempts. ``only``: this piece of work alone. ``stop`` is asked before each.
    """
    busy: list[UUID] = []
    attempts = 0
    while (limit is None or attempts < limit) and not (stop is not None and stop()):
        work = _take(only, busy)
        if work is None:
            break
        if _attempt(work):
            attempts += 1
        else:
            busy.append(work.id)
    return attempts


def _take(only: UUID | None, busy: list[UUID]) -> OutstandingWork | None:
    """Count an attempt at the work that has been due longest and nobody is at; note when the next may be.

    What another worker is at is added to ``busy``.
    """
    due = OutstandingWork.objects.filter(due_at__lte=Now(), kind__in=handlers)
    if only is not None:
        due = due.filter(id=only)
    while True:
        with transaction.atomic():
            free = due.exclude(id__in=busy).select_for_update(skip_locked=True)
            work = free.order_by("due_at").first()
            if work is None:
                return None
            if _lock(work):
                work.attempts += 1
                next_at = Now() + handlers[work.kind].delay_after(work.attempts)
                OutstandingWork.objects.filter(id=work.id).update(attempts=work.attempts, due_at=next_at)
                return work
        busy.append(work.id)


def _attempt(work: OutstandingWork) -> bool:
    """Do it once. False if another worker has it, or if it was asked for anew since it was taken."""
    found = handlers[work.kind]
    if work.attempts > found.max_attempts:
        _give_up(work, WORKER_DIED)
        return True
    try:
        with club_scope(work.club_id):
            if not (_lock(work) and _same_request(work).exists()):
                return False
            outcome = found.work(work.key)
    except Exception as error:
        logger.exception("attempt %s of %s at %s failed", work.attempts, found.max_attempts, work)
        if work.attempts == found.max_attempts:
            _give_up(work, f"{type(error).__name__}: {error}")
        return True
    if outcome == UNFINISHED:
        if work.attempts == found.max_attempts:
            _give_up(work, UNFINISHED)
        return True
    OutstandingWork.objects.filter(id=work.id, version=work.version).delete()
    return True


def _give_up(work: OutstandingWork, reason: str) -> None:
    """Leave the work alone until it is asked for again, and let its owner say so where people look."""
    on_failure = handlers[work.kind].on_failure
    try:
        with club_scope(work.club_id):
            given_up = _same_request(work).update(due_at=None)
            if given_up and on_failure is not None:
                on_failure(work.key, reason)
    except Exception:
        logger.exception("could not report that %s failed", work)
        _same_request(work).update(due_at=None)


def _same_request(work: OutstandingWork) -> QuerySet[OutstandingWork]:
    return OutstandingWork.objects.filter(id=work.id, version=work.version, attempts=work.attempts)


def _lock(work: OutstandingWork) -> bool:
    """Take the work until the transaction ends; False if another worker is at it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_xact_lock(hashtextextended(%s, 0))", [f"work {work.id}"])
        (taken,) = cursor.fetchone()
    return bool(taken)
