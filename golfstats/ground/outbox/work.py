"""Asking for work, and saying how it is done.

    @handler("round_analysis", on_failure=mark_failed)
    def analyse(key: str) -> None: ...

    ask("round_analysis", str(round.id))

The request is a row in the caller's transaction: it is there if and only if what caused it is. A message
to a worker after the commit only makes it quick; ``golfstats.ground.outbox.worker`` finds what no message reached.
A handler runs in its club's scope and in one transaction, and may run twice: it has to be idempotent.
It cannot ask for the very work it is doing, which would never end; work that is done in pieces gives ``AGAIN``.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from django.conf import settings
from django.db import connection, transaction
from django.db.models.functions import Now

from golfstats.celery import app
from golfstats.ground import logs
from golfstats.ground.ids import new_id
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.scope import current_club_id

logger = logging.getLogger(__name__)

RETRY_AFTER = (
    timedelta(seconds=10),
    timedelta(seconds=40),
    timedelta(minutes=3),
    timedelta(minutes=10),
)
"""How long after the start of each failed attempt the next may begin."""

Work = Callable[..., object]
"""Takes the key; with ``outside`` the club's id and the key."""
OnFailure = Callable[[str, str], None]

UNFINISHED = "unfinished"
"""Returned by work that did not succeed but whose writing, a log for example, is to be kept.

It counts as a failed attempt and is tried again like one; an exception takes back what the work wrote.
"""

AGAIN = "again"
"""Returned by work that has done a piece of itself and is to be called for the next one."""


@dataclass(frozen=True)
class Later:
    """Returned by work that comes back by itself, every night for example."""

    at: datetime
    found: Mapping[str, int]
    """Counts for whoever runs the service: they stand by the work until it is done again. Nothing personal."""


@dataclass(frozen=True)
class Postponed:
    """Returned by work that was not begun after all: it is called again then, and this was no attempt."""

    until: datetime


class Queue(StrEnum):
    """Who does a kind of work: each queue has workers of its own, so that none keeps another waiting."""

    QUICK = "quick"
    """What somebody waits for: a round's analysis, a record, a report."""
    LONG = "long"
    """Fits, imports and whatever else may take minutes."""
    MESSAGES = "messages"
    """What goes to other people's machines, which may be slow or never answer."""


NUDGES = 100
"""So many messages at once and no more keep a request waiting; the sweep finds the rest within its half minute."""


TASK = "golfstats.ground.outbox.do"
"""Celery's name of the task that does one piece of work."""
wakers: list[Callable[[Queue], None]] = []
"""Told of new work where there is no Redis: the threads of this process, if it has any."""
_in_hand: ContextVar[tuple[UUID, str, str] | None] = ContextVar("work_in_hand", default=None)


class OwnRequestError(RuntimeError):
    """Work asked for itself while it was being done."""


@dataclass(frozen=True)
class Handler:
    """How one kind of work is done."""

    work: Work
    on_failure: OnFailure | None
    """Called with the key and the reason, in scope, when the last attempt has failed."""
    retry_after: tuple[timedelta, ...]
    queue: Queue = Queue.QUICK
    snapshot: bool = False
    """All of it sees the database as it was at one moment."""
    outside: bool = False
    """Not in a transaction: it enters the club's scope by itself, before and after what it does outside."""

    @property
    def max_attempts(self) -> int:
        return len(self.retry_after) + 1

    def delay_after(self, attempts: int) -> timedelta:
        """Wait before the next attempt when ``attempts`` have begun."""
        return self.retry_after[min(attempts, len(self.retry_after)) - 1]


handlers: dict[str, Handler] = {}


def handler(
    kind: str,
    *,
    on_failure: OnFailure | None = None,
    retry_after: tuple[timedelta, ...] = RETRY_AFTER,
    queue: Queue = Queue.QUICK,
    snapshot: bool = False,
    outside: bool = False,
) -> Callable[[Work], Work]:
    """Register the decorated function as what does work of this kind.

    After ``len(retry_after) + 1`` failed attempts ``on_failure(key, reason)`` is called in the club's scope
    and the work is left alone until it is asked for again. ``snapshot``: for work that reads a lot and writes
    little; it is tried again when another transaction wrote the same rows. ``outside``: for work that waits for
    another machine; it is called as ``work(club_id, key)``, without a transaction and without a lock, so that
    two workers may be at it if it takes longer than its lease.
    """
    if not retry_after:
        raise ValueError("at least one retry is needed")

    def register(work: Work) -> Work:
        if kind in handlers:
            raise ValueError(f"{kind} has a handler already")
        handlers[kind] = Handler(work, on_failure, retry_after, queue, snapshot, outside)
        return work

    return register


def ask(kind: str, key: str, due_at: datetime | None = None) -> None:
    """Ask for work of the club in scope, now or at ``due_at``.

    Asking for work that is outstanding already asks once more: the earlier time counts and its attempts begin
    anew. If a worker is at it at this moment it is done again afterwards, at the time asked for now.
    """
    ask_all(kind, [key], due_at)


def ask_all(kind: str, keys: Iterable[str], due_at: datetime | None = None) -> None:
    """Ask for work of one kind under many keys, with one statement."""
    club_id = current_club_id()
    if kind not in handlers:
        raise ValueError(f"no handler for {kind}")
    wanted = sorted(set(keys))  # one order for all, or two that ask at once could wait for each other
    if _in_hand.get() in {(club_id, kind, key) for key in wanted}:
        raise OwnRequestError(f"{kind} asked for itself: it would never end")
    with prepared_cursor() as cursor:
        cursor.execute(
            """
            INSERT INTO outbox_outstandingwork AS work (id, club_id, kind, key, due_at, attempts, version)
            SELECT wanted.id, %s, %s, wanted.key, COALESCE(%s::timestamptz, now()), 0, 1
            FROM unnest(%s::uuid[], %s::text[]) AS wanted (id, key)
            ON CONFLICT (club_id, kind, key) DO UPDATE SET
                due_at = CASE WHEN work.leased_until IS NULL THEN LEAST(work.due_at, EXCLUDED.due_at)
                    ELSE work.due_at END,
                attempts = CASE WHEN work.leased_until IS NULL THEN 0 ELSE work.attempts END,
                again_at = CASE WHEN work.leased_until IS NOT NULL
                    THEN LEAST(work.again_at, EXCLUDED.due_at) END,
                version = work.version + 1
            """,
            [club_id, kind, due_at, [new_id() for _ in wanted], wanted],
        )
    if due_at is None:
        queue, pieces = handlers[kind].queue, min(len(wanted), NUDGES)

        def nudge() -> None:
            _nudge(queue, pieces)

        # robust: what was asked for is safe in its row, so a broker that is down is no reason to fail. (A named
        # function: Django reports the failure by it, and a partial has no name.)
        transaction.on_commit(nudge, robust=True)


def ask_once_more(kind: str) -> None:
    """Have the work of this kind that is due in the club in scope done after this transaction, even if a worker is at
    it: that may have read what the caller changes.
    """
    due = OutstandingWork.objects.filter(club_id=current_club_id(), kind=kind, due_at__lte=Now())
    ask_all(kind, due.values_list("key", flat=True))


def outstanding(kind: str) -> dict[str, int]:
    """Keys of the club in scope under which this kind is outstanding, each with the version of its request."""
    rows = OutstandingWork.objects.filter(club_id=current_club_id(), kind=kind)
    return dict(rows.values_list("key", "version"))


def how_many(kind: str) -> int:
    """Pieces of this kind that are outstanding for the club in scope, without those given up."""
    outstanding = OutstandingWork.objects.filter(club_id=current_club_id(), kind=kind, due_at__isnull=False)
    return outstanding.count()


def found_last(kind: str) -> Mapping[str, int] | None:
    """Counts that work of the club in scope, which comes back by itself, left at its last run."""
    rows = OutstandingWork.objects.filter(club_id=current_club_id(), kind=kind, found__isnull=False)
    return rows.values_list("found", flat=True).first()


def withdraw(kind: str, versions: Mapping[str, int]) -> None:
    """Take back requests of the club in scope, because the caller has just done the work itself.

    ``versions`` as :func:`outstanding` gave them before the caller read what the work rests on: a request that
    was made again since then knows of something newer and stays.
    """
    with connection.cursor() as cursor:
        cursor.execute(
            """
            DELETE FROM outbox_outstandingwork AS work
            USING unnest(%s::text[], %s::int[]) AS done (key, version)
            WHERE work.club_id = %s AND work.kind = %s AND work.key = done.key AND work.version = done.version
            """,
            [list(versions), list(versions.values()), current_club_id(), kind],
        )


@contextmanager
def in_hand(club_id: UUID, kind: str, key: str) -> Iterator[None]:
    """Within it this work is being done."""
    token, log_token = _in_hand.set((club_id, kind, key)), logs.work.set(f"{kind} {key}")
    club = logs.club.set(str(club_id))
    try:
        yield
    finally:
        _in_hand.reset(token)
        logs.work.reset(log_token)
        logs.club.reset(club)


def one_at_a_time(name: str) -> None:
    """Wait until no other transaction has taken ``name``, and keep it until this transaction ends."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtextextended(%s, 0))", [name])


def _nudge(queue: Queue, pieces: int) -> None:
    if settings.REDIS_URL:
        for _ in range(pieces):
            app.send_task(TASK, (queue.value,), queue=queue.value, retry=False)
        return
    for wake in wakers:
        wake(queue)
