"""The scope: the one club whose rows a request, a task or a command may see.

``club_scope`` opens a transaction and tells PostgreSQL the club for that transaction alone;
the row-level-security policies (``golfstats.ground.walls.row_security``) compare every row with it.
Nothing is ever set for a whole session, because pooled connections outlive requests.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any
from uuid import UUID

from django.db import connection, transaction

from golfstats.ground import logs
from golfstats.ground.statements import one_message, prepared_cursor

CLUB_SETTING = "golfstats.club_id"
USER_SETTING = "golfstats.user_id"

_current_club: ContextVar[UUID | None] = ContextVar("current_club", default=None)


class NoClubScopeError(RuntimeError):
    """A club's rows were asked for without saying which club."""


class NestedScopeError(RuntimeError):
    """A scope for one club was opened inside the scope of another."""


def current_club_id() -> UUID:
    """Id of the club in scope; raises :class:`NoClubScopeError` outside a scope."""
    club_id = _current_club.get()
    if club_id is None:
        raise NoClubScopeError("this needs club_scope(club): no club is in scope")
    return club_id


@contextmanager
def club_scope(club_id: UUID, *, snapshot: bool = False) -> Iterator[None]:
    """One transaction in which exactly this club's rows exist. Re-entering for the same club is harmless.

    ``snapshot``: every query of it sees the rows as they were at its beginning, so that what is read in several
    steps belongs together. Within an outer transaction that one decides.
    """
    outer = _current_club.get()
    if outer == club_id:
        yield
        return
    if outer is not None:
        raise NestedScopeError(f"scope of club {club_id} opened inside that of {outer}")
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        _set_for_transaction(CLUB_SETTING, str(club_id), snapshot=snapshot and outermost)
        token, log_token = _current_club.set(club_id), logs.club.set(str(club_id))
        try:
            yield
        finally:
            _current_club.reset(token)
            logs.club.reset(log_token)
        if not outermost:
            _forget(CLUB_SETTING)


def found_by_user(user_id: int, statement: str, values: Sequence[Any] = ()) -> list[Any]:
    """What one statement finds that sees a person's own memberships and the clubs they lead to, and nothing else.

    In one message to the server, because every request begins with it, and by a plan that the server keeps. PostgreSQL
    takes what comes in one message as one transaction, unless there is one already.
    """
    with prepared_cursor() as cursor:
        with one_message() as beside:
            beside.execute(SET, [USER_SETTING, str(user_id)])
            cursor.execute(statement, values)
            beside.execute(SET, [USER_SETTING, ""])
        return list(cursor.fetchall())


def _forget(name: str) -> None:
    """Leave nothing behind in an outer transaction that lives on. A commit or a rollback forgets by itself."""
    if not connection.needs_rollback:
        _set_for_transaction(name, "")


SNAPSHOT = "SET TRANSACTION ISOLATION LEVEL REPEATABLE READ;"
SET = "SELECT set_config(%s, %s, true)"
"""SET LOCAL takes no parameters; the function form does."""


def _set_for_transaction(name: str, value: str, *, snapshot: bool = False) -> None:
    """In one message to the server, whether or not the transaction is to see the rows as of one moment."""
    with connection.cursor() as cursor:
        cursor.execute(f"{SNAPSHOT if snapshot else ''} {SET}".lstrip(), [name, value])
