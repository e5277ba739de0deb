"""Statements that the server keeps for a connection, and connections that keep none."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection


@pytest.mark.django_db
@pytest.mark.parametrize(("switched_on", "kept"), [(True, 1), (False, 0)])
def test_the_server_keeps_a_statement_where_that_is_switched_on(
    settings: Any, switched_on: bool, kept: int
) -> None:
    """Behind a pooler of transactions the next one may go over a connection that never heard of the statement."""
    settings.PREPARED_STATEMENTS = switched_on
    of_its_own: Any = connection.copy()
    try:
        for number in range(8):
            with of_its_own.prepared_cursor() as cursor:
                cursor.execute("SELECT %s::int + 1", [number])
                assert cursor.fetchone() == (number + 1,)
        with of_its_own.cursor() as cursor:
            cursor.execute("SELECT count(*) FROM pg_prepared_statements WHERE statement LIKE '%%+ 1'")
            assert cursor.fetchone() == (kept,)
    finally:
        of_its_own.close()
