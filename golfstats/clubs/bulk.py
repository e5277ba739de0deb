"""Writing many rows at once, by COPY.

Measured with the demo's 40,000 shots: several times as fast as ``bulk_create``, most of whose time goes into
assembling and parsing a million parameters. PostgreSQL refuses COPY straight into a table with row-level
security, so the rows go through a temporary table; the policy checks them on the way out of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db import connection, models
from psycopg import sql


def copy_rows(rows: Sequence[models.Model]) -> None:
    """Insert unsaved rows of one model. Call it inside a transaction; triggers see one statement."""
    if not rows:
        return
    meta = type(rows[0])._meta
    fields = meta.local_concrete_fields
    table = sql.Identifier(meta.db_table)
    incoming = sql.Identifier(f"incoming_{meta.db_table}")
    columns = sql.SQL(", ").join(sql.Identifier(str(field.column)) for field in fields)
    create = sql.SQL("CREATE TEMPORARY TABLE IF NOT EXISTS {} (LIKE {}) ON COMMIT DROP")
    copy = sql.SQL("COPY {} ({}) FROM STDIN").format(incoming, columns)
    insert = sql.SQL("INSERT INTO {} ({}) SELECT {} FROM {}").format(table, columns, columns, incoming)
    with connection.cursor() as cursor:
        cursor.execute(create.format(incoming, table))
        with cursor.copy(copy) as stream:
            for row in rows:
                values = (field.pre_save(row, add=True) for field in fields)
                prepared = zip(fields, values, strict=True)
                stream.write_row([field.get_db_prep_save(value, connection) for field, value in prepared])
        cursor.execute(insert)
        cursor.execute(sql.SQL("TRUNCATE {}").format(incoming))
