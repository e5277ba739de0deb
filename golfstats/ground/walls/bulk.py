"""Writing many rows at once, and deleting a row with everything below it.

Rows go to PostgreSQL as one JSON value that it makes into rows of the table. ``bulk_create`` takes five times as long,
most of it to assemble and parse thousands of parameters. COPY would have to go through a temporary table, since
PostgreSQL refuses it straight into one with row-level security: a round's 18 holes and 73 shots take 2.5 ms of the
processor as JSON and 7 ms by COPY, and the catalogue of tables grows with none. Only for very many short rows it is
the quicker of both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter
from typing import Any
from uuid import UUID

import orjson
from django.db import connection, models
from psycopg import sql

from golfstats.ground.ids import new_id
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.lookups import Keys
from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.scope import current_club_id

FEW = 1000
NOTHING_IS_THERE = sql.SQL("")


def insert_rows(rows: Sequence[models.Model]) -> None:
    """Insert unsaved rows of one model as they stand. Call it inside a transaction; triggers see one statement."""
    if not rows:
        return
    meta = type(rows[0])._meta
    fields = meta.local_concrete_fields
    values = attrgetter(*[field.attname for field in fields])
    _insert(meta.db_table, [str(field.column) for field in fields], map(values, rows))


def insert_columns(
    model: type[ClubOwned], columns: Mapping[str, Sequence[Any]], *, in_place_of: str | None = None
) -> None:
    """Insert rows of the club in scope from equally long columns, by the table's names; keys are made here.

    None of the rows becomes an object, and no value may be NaN. ``in_place_of``: a column that is unique in a club;
    a row that is there with its value keeps its key, and what no column is given for.
    """
    club = current_club_id()
    rows = ((new_id(), club, *row) for row in zip(*columns.values(), strict=True))
    write = _insert if len(next(iter(columns.values()))) <= FEW else _copy
    there = NOTHING_IS_THERE if in_place_of is None else _in_place_of(in_place_of, columns)
    write(model._meta.db_table, ["id", "club_id", *columns], rows, there)


def _in_place_of(unique: str, columns: Iterable[str]) -> sql.Composed:
    changed = [
        sql.SQL("{0} = EXCLUDED.{0}").format(sql.Identifier(name)) for name in columns if name != unique
    ]
    conflict = sql.SQL(" ON CONFLICT (club_id, {}) DO UPDATE SET {}")
    return conflict.format(sql.Identifier(unique), sql.SQL(", ").join(changed))


def delete_those(model: type[ClubOwned], column: str, keys: Iterable[UUID] | Keys) -> None:
    """Delete the rows of the club in scope whose ``column`` is one of these, by a statement that the server keeps.

    What hangs on them is the database's own to take along, as with :func:`delete_with_all_below`.
    """
    delete = sql.SQL("DELETE FROM {} WHERE club_id = %s AND {} = ANY(%s::uuid[])")
    with prepared_cursor() as cursor:
        statement = delete.format(sql.Identifier(model._meta.db_table), sql.Identifier(column))
        cursor.execute(statement, [current_club_id(), keys.text if isinstance(keys, Keys) else list(keys)])


def delete_with_all_below(rows: models.QuerySet[Any]) -> None:
    """Delete these rows of one model by one statement; the database's own keys take along what hangs on them.

    Django deletes in batches of a hundred, so that the trigger that looks at the shots of a hole could see half of
    it. It sends no signal and refuses nothing that Django alone would protect.
    """
    keys = list(rows.values_list("pk", flat=True))
    table = sql.Identifier(rows.model._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL("DELETE FROM {} WHERE id = ANY(%s)").format(table), [keys])


def _insert(
    name: str, names: Sequence[str], rows: Iterable[Sequence[Any]], there: sql.Composable = NOTHING_IS_THERE
) -> None:
    table, columns = sql.Identifier(name), sql.SQL(", ").join(map(sql.Identifier, names))
    insert = sql.SQL("INSERT INTO {} ({}) SELECT {} FROM json_populate_recordset(NULL::{}, %s)")
    given = orjson.dumps(
        [dict(zip(names, row, strict=True)) for row in rows], default=str
    )  # decimals as text
    with prepared_cursor() as cursor:
        cursor.execute(insert.format(table, columns, columns, table) + there, [given.decode()])


def _copy(name: str, names: Sequence[str], rows: Iterable[Sequence[Any]], there: sql.Composable) -> None:
    table, incoming = sql.Identifier(name), sql.Identifier(f"incoming_{name}")
    columns = sql.SQL(", ").join(map(sql.Identifier, names))
    create = sql.SQL("CREATE TEMPORARY TABLE IF NOT EXISTS {} (LIKE {} INCLUDING DEFAULTS) ON COMMIT DROP")
    copy = sql.SQL("COPY {} ({}) FROM STDIN").format(incoming, columns)
    insert = (
        sql.SQL("INSERT INTO {} ({}) SELECT {} FROM {}").format(table, columns, columns, incoming) + there
    )
    with connection.cursor() as cursor:
        cursor.execute(create.format(incoming, table))
        with cursor.copy(copy) as stream:
            for row in rows:
                stream.write_row(row)
        cursor.execute(insert)
        cursor.execute(sql.SQL("TRUNCATE {}").format(incoming))
