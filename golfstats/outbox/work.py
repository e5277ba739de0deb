"""Asking for work, and saying how it is done.

    @handler("round_analysis", on_failure=mark_failed)
    def analyse(key: str) -> None: ...

    ask("round_analysis", str(round.id))

The request is a row in the caller's transaction: it is there if and only if what caused it is. A message
to a worker after the commit only makes it quick; ``golfstats.outbox.worker`` finds what no message reached.
A handler runs in its club's scope and in one transaction, and may run twice: it has to be idempotent.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.conf import settings
from django.db import connection, transaction

from golfstats.clubs.scope import current_club_id
from golfstats.ids import new_id
from golfstats.outbox.models import OutstandingWork

logger = logging.getLogger(__name__)

RETRY_AFTER = (
    timedelta(seconds=10),
    timedelta(seconds=40),
    timedelta(minutes=3),
    timedelta(minutes=10),
)
"""How long after the start of each failed attempt the next may begin."""

MAX_ATTEMPTS = len(RETRY_AFTER) + 1

Work = Callable[[str], object]
OnFailure = Callable[[str, str], None]

UNFINISHED = "unfinished"
"""Returned by work that did not succeed but whose writing, a log for example, is to be kept.

It counts as a failed attempt and is tried again like one; an exception takes back what the work wrote.
"""

NUDGES = 100
"""So many messages at once and no more keep a request waiting; the sweep finds the rest within its half minute."""


@dataclass(frozen=True)
class Handler:
    """How one kind of work is done."""

    work: Work
    on_failure: OnFailure | None
    """Called with the key and the reason, in scope, when the last attempt has failed."""
    retry_after: tuple[timedelta, ...]

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
) -> Callable[[Work], Work]:
    """Register the decorated function as what does work of this kind.

    After ``len(retry_after) + 1`` failed attempts ``on_failure(key, reason)`` is called in the club's scope
    and the work is left alone until it is asked for again.
    """
    if not retry_after:
        raise ValueError("at least one retry is needed")

    def register(work: Work) -> Work:
        if kind in handlers:
            raise ValueError(f"{kind} has a handler already")
        handlers[kind] = Handler(work, on_failure, retry_after)
        return work

    return register


def ask(kind: str, key: str, due_at: datetime | None = None) -> None:
    """Ask for work of the club in scope, now or at ``due_at``.

    Asking for work that is outstanding already asks once more: the earlier time counts, its attempts begin
    anew, and if a worker is at it at this moment it is done again afterwards.
    """
    ask_all(kind, [key], due_at)


def ask_all(kind: str, keys: Iterable[str], due_at: datetime | None = None) -> None:
    """Ask for work of one kind under many keys, with one statement."""
    club_id = current_club_id()
    if kind not in handlers:
        raise ValueError(f"no handler for {kind}")
    wanted = sorted(set(keys))  # one order for all, or two that ask at once could wait for each other
    with connection.cursor() as cursor:
        cursor.execute(
            """
            INSERT INTO outbox_outstandingwork AS work (id, club_id, kind, key, due_at, attempts, version)
            SELECT wanted.id, %s, %s, wanted.key, COALESCE(%s, now()), 0, 1
            FROM unnest(%s::uuid[], %s::text[]) AS wanted (id, key)
            ON CONFLICT (club_id, kind, key) DO UPDATE SET
                due_at = LEAST(work.due_at, EXCLUDED.due_at), attempts = 0, version = work.version + 1
            RETURNING id
            """,
            [club_id, kind, due_at, [new_id() for _ in wanted], wanted],
        )
        work_ids = [work_id for (work_id,) in cursor.fetchall()]
    if due_at is None:
        nudged = work_ids[:NUDGES]

        def nudge() -> None:
            for work_id in nudged:
                _nudge(work_id)

        # robust: what was asked for is safe in its row, so a broker that is down is no reason to fail. (A named
        # function: Django reports the failure by it, and a partial has no name.)
        transaction.on_commit(nudge, robust=True)


def withdraw(kind: str, keys: Iterable[str]) -> None:
    """Take back requests of the club in scope, because the caller has just done the work itself."""
    OutstandingWork.objects.filter(club_id=current_club_id(), kind=kind, key__in=list(keys)).delete()


def one_at_a_time(name: str) -> None:
    """Wait until no other transaction has taken ``name``, and keep it until this transaction ends."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtextextended(%s, 0))", [name])


def _nudge(work_id: UUID) -> None:
    # Imported here: the two ways to reach a worker import this module.
    if settings.REDIS_URL:
        from golfstats.outbox.tasks import do  # noqa: PLC0415

        do.apply_async((str(work_id),), retry=False)
        return
    from golfstats.outbox import thread  # noqa: PLC0415

    thread.wake()
