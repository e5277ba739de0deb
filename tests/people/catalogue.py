"""Tables as the database's catalogue knows them, and the keys between them."""

from __future__ import annotations

from collections import defaultdict

from django.db.backends.utils import CursorWrapper


def tables_about(root: str, cursor: CursorWrapper) -> set[str]:
    """The table and every one whose rows lead to it along keys, over as many tables as it takes."""
    cursor.execute(
        "SELECT confrelid::regclass::text, conrelid::regclass::text FROM pg_constraint WHERE contype = 'f'"
    )
    keys = defaultdict(set)
    for target, table in cursor.fetchall():
        keys[target].add(table)
    found, ahead = {root}, [root]
    while ahead:
        new = keys[ahead.pop()] - found
        found |= new
        ahead += new
    return found


def tables_with(column: str, cursor: CursorWrapper) -> set[str]:
    """Tables with a column of this name, whether or not the database knows it for a key."""
    cursor.execute(
        "SELECT table_name FROM information_schema.columns WHERE table_schema = 'public' AND column_name = %s",
        [column],
    )
    return {table for (table,) in cursor.fetchall()}


def text_columns(cursor: CursorWrapper) -> list[tuple[str, str]]:
    """Every column that can hold a name: texts, lists of them and JSON."""
    cursor.execute(
        """
        SELECT c.table_name, c.column_name FROM information_schema.columns c
        JOIN information_schema.tables t USING (table_schema, table_name)
        WHERE c.table_schema = 'public' AND t.table_type = 'BASE TABLE'
        AND c.data_type IN ('character varying', 'text', 'jsonb', 'ARRAY')
        ORDER BY 1, 2
        """
    )
    return [(table, column) for table, column in cursor.fetchall()]
