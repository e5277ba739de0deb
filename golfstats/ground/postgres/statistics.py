"""The planner's statistics, refreshed after a bulk of rows instead of when autovacuum gets to it."""

from __future__ import annotations

from django.db import connection


def refresh_statistics() -> None:
    """ANALYZE every table, through the owner's function: the application role may not do it itself."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT refresh_statistics()")
