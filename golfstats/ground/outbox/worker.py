"""Doing what is outstanding.

Taking a piece of work writes down the attempt and until when it is leased, and commits that. The work then
runs in a transaction of its own that holds an advisory lock on it, however long the lease. So a worker that
dies loses the lock with its connection, the lease runs out, and an attempt is counted even when the work
killed the process. The row goes after the work has committed, and not with it: a
handler's locks then never wait for a request that asks for the same work.
"""

from __future__ import annotations

import logging
import math
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import timedelta
from uuid import UUID

from django.db import connection, transaction
from django.db.models import F, Min, Q, QuerySet, Value
from django.db.models.functions import Least, Now
from django.utils.translation import gettext_noop as noop

from golfstats.ground.faults import ProblemError
from golfstats.ground.outbox.models import OutstandingWork, WorkerHeartbeat
from golfstats.ground.outbox.shares import Shares
from golfstats.ground.outbox.work import (
    AGAIN,
    UNFINISHED,
    Later,
    Postponed,
    Queue,
    handlers,
    in_hand,
    one_at_a_time,
)
from golfstats.ground.walls.scope import club_scope
from golfstats.sentences import Sentence, words_of

logger = logging.getLogger(__name__)

SWEEP_SECONDS = 60.0
"""A sweep begins nothing new after this time, so that it ends well within a task's time limit."""
TAKEN = object()
WORKER_DIED = noop("the worker stopped while doing this")
OUTSIDE_LEASE = timedelta(minutes=2)
"""Longer than any work outside a transaction takes: nothing but the lease keeps a second worker away from it."""
MESSAGES_AT_MOST = 30.0
"""Seconds of sending lately, by which a club's messages wait: half a sender's time, whatever else is due. Who sends
waits for machines of others, and clubs whose receivers hang would together keep every sender waiting.
"""

_shares: defaultdict[Queue | None, Shares] = defaultdict(Shares)
"""What each club has had of this process, for each queue apart: a slow receiver is no reason to wait for a round."""


def sweep(stop: Callable[[], bool] | None = None, queue: Queue | None = None) -> int:
    """Show that a worker lives, then do what is due for a while. Gives the number of attempts made.

    ``stop`` is asked before each piece of work is begun; ``queue``: of this one alone.
    """
    WorkerHeartbeat.objects.bulk_create(
        [WorkerHeartbeat(name=each.value, beat_at=Now()) for each in (Queue if queue is None else [queue])],
        update_conflicts=True,
        unique_fields=["name"],
        update_fields=["beat_at"],
    )
    ends = time.monotonic() + SWEEP_SECONDS
    return drain(stop=lambda: time.monotonic() > ends or (stop is not None and stop()), queue=queue)


def drain(
    limit: int | None = None, stop: Callable[[], bool] | None = None, queue: Queue | None = None
) -> int:
    """Do what is due until nothing is left, the clubs in turn and of each the oldest first.

    Gives the number of attempts made. ``limit``: at most so many. ``stop`` is asked before each.
    """
    busy: list[UUID] = []
    took: list[tuple[str, float]] = []
    while (limit is None or len(took) < limit) and not (stop is not None and stop()):
        work = _take(queue, busy)
        if work is None:
            break
        began = time.monotonic()
        with _shares[queue].measured(work.club_id):
            was_free = _attempt(work)
        if was_free:
            took.append((work.kind, time.monotonic() - began))
        else:
            busy.append(work.id)
    _write_down(took)
    return len(took)


def _write_down(took: Sequence[tuple[str, float]]) -> None:
    """Add what was done to what was done before, for whoever watches the service."""
    if not took:
        return
    kinds, seconds = zip(*sorted(took), strict=True)
    with connection.cursor() as cursor:
        cursor.execute(
            """
            INSERT INTO outbox_workdone AS done (kind, attempts, seconds)
            SELECT kind, count(*), sum(seconds) FROM unnest(%s::text[], %s::float8[]) AS took (kind, seconds)
            GROUP BY kind ORDER BY kind
            ON CONFLICT (kind) DO UPDATE SET
                attempts = done.attempts + EXCLUDED.attempts, seconds = done.seconds + EXCLUDED.seconds
            """,
            [list(kinds), list(seconds)],
        )


def _take(queue: Queue | None, busy: list[UUID]) -> OutstandingWork | None:
    """Lease the work that has been due longest of the club whose turn it is, and count the attempt.

    What another worker is at is added to ``busy``.
    """
    kinds = [kind for kind, handler in handlers.items() if queue in {None, handler.queue}]
    free_again = Q(leased_until=None) | Q(leased_until__lte=Now())
    due = OutstandingWork.objects.filter(free_again, due_at__lte=Now(), kind__in=kinds)
    passed: set[UUID] = set()
    while True:
        with transaction.atomic():
            waiting = passed | (_clubs_with_a_message_on_its_way() if queue == Queue.MESSAGES else set())
            at_most = MESSAGES_AT_MOST if queue == Queue.MESSAGES else math.inf
            club_id = _whose_turn(_shares[queue], due.exclude(id__in=busy), waiting, at_most)
            if club_id is None:
                return None
            free = due.filter(club_id=club_id).exclude(id__in=busy).select_for_update(skip_locked=True)
            work = free.order_by("due_at", "id").first()  # of what was asked for at once, the first asked
            if work is not None and _lock(work):
                work.attempts += 1
                OutstandingWork.objects.filter(id=work.id).update(
                    attempts=work.attempts, leased_until=Now() + _lease(work)
                )
                return work
        if work is None:
            passed.add(club_id)
        else:
            busy.append(work.id)


def _whose_turn(
    shares: Shares, due: QuerySet[OutstandingWork], passed: set[UUID], at_most: float
) -> UUID | None:
    """The club that has had least of this process lately; None if nothing is due, or for whom had too much already.

    One club's thousand rounds then delay another club's round by one piece of work and not by a thousand, and
    a club whose pieces take long, or whose receivers answer slowly, has its turn the more seldom.
    """
    oldest = due.values_list("club_id").annotate(Min("due_at"))
    waiting = [(shares.of(club_id), since, club_id) for club_id, since in oldest if club_id not in passed]
    had, _, club_id = min(waiting, default=(math.inf, None, None))
    return club_id if had < at_most else None


def _clubs_with_a_message_on_its_way() -> set[UUID]:
    """One message of a club at a time: a receiver that hangs keeps nobody waiting but its own club.

    Workers look one after the other, or two would find the same club without a message at the same moment.
    """
    one_at_a_time("the next message")
    kinds = [kind for kind, handler in handlers.items() if handler.queue == Queue.MESSAGES]
    on_its_way = OutstandingWork.objects.filter(kind__in=kinds, leased_until__gt=Now())
    return set(on_its_way.values_list("club_id", flat=True))


def _lease(work: OutstandingWork) -> timedelta:
    handler = handlers[work.kind]
    delay = handler.delay_after(work.attempts)
    return max(delay, OUTSIDE_LEASE) if handler.outside else delay


def _attempt(work: OutstandingWork) -> bool:
    """Do it once. False if another worker has it."""
    handler = handlers[work.kind]
    if work.attempts > handler.max_attempts:
        _give_up(work, WORKER_DIED)
        return True
    try:
        outcome = _outcome(work)
    except Exception as error:
        logger.exception("attempt %s of %s at %s failed", work.attempts, handler.max_attempts, work)
        _failed(work, _reason_of(error))
        return True
    if outcome == TAKEN:
        return False
    if outcome == UNFINISHED:
        _failed(work, UNFINISHED)
    else:
        _done(work, outcome)
    return True


def _outcome(work: OutstandingWork) -> object:
    """What the work gives; ``TAKEN`` if another worker has it."""
    handler = handlers[work.kind]
    with in_hand(work.club_id, work.kind, work.key):
        if handler.outside:
            return handler.work(work.club_id, work.key) if _this_attempt(work).exists() else TAKEN
        with club_scope(work.club_id, snapshot=handler.snapshot):
            return handler.work(work.key) if _lock(work) and _this_attempt(work).exists() else TAKEN


def _done(work: OutstandingWork, outcome: object) -> None:
    """Strike it off, unless there is more of it to do or it was asked for again while it was being done."""
    row = OutstandingWork.objects.filter(id=work.id)
    rest: dict[str, object] = {"leased_until": None, "again_at": None, "attempts": 0}
    if isinstance(outcome, Postponed):
        row.update(due_at=Least(Value(outcome.until), "again_at"), **rest | {"attempts": work.attempts - 1})
    elif isinstance(outcome, Later):
        row.update(due_at=Least(Value(outcome.at), "again_at"), found=dict(outcome.found), **rest)
    elif outcome == AGAIN:
        row.update(due_at=Now(), **rest)
    elif not row.filter(again_at=None).delete()[0]:
        row.update(due_at=F("again_at"), **rest)


def _reason_of(error: Exception) -> str:
    """In words where it was raised for people to read; else as whoever mends the program knows it."""
    words = error.title if isinstance(error, ProblemError) else words_of(error)
    return f"{words}" if isinstance(words, Sentence) else f"{type(error).__name__}: {error}"


def _failed(work: OutstandingWork, reason: str) -> None:
    """Let it be tried again after a while, or give it up after the last attempt."""
    handler = handlers[work.kind]
    retry_at = Now() + handler.delay_after(work.attempts)
    renewed = _this_attempt(work).filter(again_at__isnull=False)
    if renewed.update(due_at=Least(retry_at, "again_at"), leased_until=None, again_at=None, attempts=0):
        return
    if work.attempts >= handler.max_attempts:
        _give_up(work, reason)
    else:
        _this_attempt(work).update(due_at=retry_at, leased_until=None)


def _give_up(work: OutstandingWork, reason: str) -> None:
    """Leave the work alone until it is asked for again, and let its owner say so where people look."""
    on_failure = handlers[work.kind].on_failure
    try:
        with club_scope(work.club_id):
            given_up = _leave_alone(work)
            if given_up and on_failure is not None:
                on_failure(work.key, reason)
    except Exception:
        logger.exception("could not report that %s failed", work)
        _leave_alone(work)


def _leave_alone(work: OutstandingWork) -> int:
    """Rows given up. One asked for again meanwhile is due when it was asked for."""
    return _this_attempt(work).update(due_at=F("again_at"), leased_until=None, again_at=None, attempts=0)


def _this_attempt(work: OutstandingWork) -> QuerySet[OutstandingWork]:
    return OutstandingWork.objects.filter(id=work.id, attempts=work.attempts)


def _lock(work: OutstandingWork) -> bool:
    """Take the work until the transaction ends; False if another worker is at it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_xact_lock(hashtextextended(%s, 0))", [f"work {work.id}"])
        (taken,) = cursor.fetchone()
    return bool(taken)
