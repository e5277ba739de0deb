from __future__ import annotations

import selectors
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db.backends.postgresql import base, operations
from django.db.backends.postgresql.psycopg_any import BaseTzLoader
from psycopg.adapt import AdaptersMap
from psycopg.pq import Format

_checked_roles: set[str] = set()


class MomentLoader(BaseTzLoader):
    """Reads a moment by Python's own parser: Django's takes ten times as long, and a row has up to five of them."""

    timezone = UTC

    def load(self, data: Any) -> datetime:
        try:
            return datetime.fromisoformat(str(data, "ascii"))
        except ValueError:  # infinity, or before Christ
            moment: datetime = super().load(data)
            return moment


class DatabaseOperations(operations.DatabaseOperations):
    """Tells of what was sent by a prepared cursor as well, which sends a name in place of the text."""

    def last_executed_query(self, cursor: Any, sql: Any, params: Any) -> Any:
        return super().last_executed_query(cursor, sql, params) or self.compose_sql(sql, params)


class DatabaseWrapper(base.DatabaseWrapper):
    """PostgreSQL, started on demand when embedded, and refused when its role could see every club."""

    ops_class = DatabaseOperations

    def get_connection_params(self) -> dict[str, Any]:
        data_folder = self.settings_dict.get("EMBEDDED_IN")
        if data_folder is not None:
            # Imported here because a production machine has no use for the wheel's server.
            from golfstats.ground.postgres import embedded  # noqa: PLC0415 - as said above

            self.settings_dict.update(embedded.address_of(data_folder))
        given = super().get_connection_params()
        adapters = AdaptersMap(given["context"])
        if self.timezone == UTC:
            adapters.register_loader("timestamptz", MomentLoader)
        return given | {
            "context": adapters,
            "prepare_threshold": 0 if settings.PREPARED_STATEMENTS else None,
        }

    def prepared_cursor(self, *, binary: bool = False) -> Any:
        """A cursor whose statements the server keeps parsed and planned for this connection.

        For the few that nearly every request sends in the same words: of those parsing and planning takes more
        than answering. Other cursors put the values into the text, so that nothing of theirs is kept.
        """
        self.close_if_health_check_failed()
        self.ensure_connection()
        made: Any = base.ServerBindingCursor  # the stubs think that it takes nothing
        with self.wrap_database_errors:
            cursor = made(self.connection)
        cursor.format = Format(binary)
        return self.make_debug_cursor(cursor) if self.queries_logged else self.make_cursor(cursor)

    @contextmanager
    def one_message(self) -> Iterator[Any]:
        """What server-binding cursors are told within goes to the server together. Gives one more such cursor.

        PostgreSQL takes what comes in one message as one transaction, unless there is one already.
        """
        self.close_if_health_check_failed()
        self.ensure_connection()
        made: Any = base.ServerBindingCursor
        with self.wrap_database_errors, self.connection.pipeline(), made(self.connection) as cursor:
            yield cursor

    def init_connection_state(self) -> None:
        super().init_connection_state()
        if settings.PREPARED_STATEMENTS:
            # Those that are prepared find their rows by a key: PostgreSQL would plan them anew for their values.
            with self.connection.cursor() as cursor:
                cursor.execute("SET plan_cache_mode = force_generic_plan")
        refuse_role_above_row_security(self)

    def is_usable(self) -> bool:
        """Asked before a kept connection is used again: the server is asked only if there is something to be read.

        An idle connection is silent until the server ends it, so silence saves each request the way there and back.
        """
        return self._is_silent() or super().is_usable()

    def _is_silent(self) -> bool:
        if self.connection is None or self.connection.closed:
            return False
        with selectors.DefaultSelector() as selector:
            selector.register(self.connection.fileno(), selectors.EVENT_READ)
            return not selector.select(timeout=0)


def refuse_role_above_row_security(wrapper: base.DatabaseWrapper) -> None:
    """Raise ``ImproperlyConfigured`` if the connected role bypasses row-level security.

    A superuser or a BYPASSRLS role would silently see the rows of every club.
    """
    user = str(wrapper.settings_dict["USER"])
    if user in _checked_roles:
        return
    with wrapper.connection.cursor() as cursor:
        cursor.execute(
            "SELECT bool_or(rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname IN (current_user, session_user)"
        )
        row = cursor.fetchone()
    if row is None or row[0]:
        raise ImproperlyConfigured(
            f"The database role {user!r} is a superuser or bypasses row-level security. "
            "Connect as a role made by golfstats/ground/postgres/roles.sql."
        )
    _checked_roles.add(user)
