"""What PostgreSQL's own catalogue says about the tables that hold a club's rows."""

from __future__ import annotations

from django.db.backends.utils import CursorWrapper

IN_SCOPE = "(club_id = (NULLIF(current_setting('golfstats.club_id'::text, true), ''::text))::uuid)"

# Holds ids of clubs for the sweep and nothing else of theirs: see its model.
WITHOUT_POLICY = {"outbox_outstandingwork"}
# A person may see which clubs they belong to before a club is chosen.
FURTHER_POLICIES = {("clubs_member", "own_memberships", "r")}


def tables_of_clubs(cursor: CursorWrapper) -> set[str]:
    """Every table, view or materialised view of ours with a column ``club_id``."""
    cursor.execute(
        """
        SELECT c.relname FROM pg_class c
        JOIN pg_namespace n ON n.oid = c.relnamespace AND n.nspname = 'public'
        JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = 'club_id' AND NOT a.attisdropped
        WHERE c.relkind IN ('r', 'p', 'v', 'm', 'f')
        """
    )
    return {name for (name,) in cursor.fetchall()} - WITHOUT_POLICY


def faults(cursor: CursorWrapper) -> set[str]:
    """Every way in which a club's table could let a row through, each as a sentence."""
    tables = sorted(tables_of_clubs(cursor))
    return (
        _without_forced_security(cursor, tables)
        | _wrong_policies(cursor, tables)
        | _uniques_over_all_clubs(cursor, tables)
        | _keys_into_other_clubs(cursor, tables)
    )


def _without_forced_security(cursor: CursorWrapper, tables: list[str]) -> set[str]:
    cursor.execute(
        """
        SELECT relname FROM pg_class
        WHERE relname = ANY(%s) AND NOT (relkind = 'r' AND relrowsecurity AND relforcerowsecurity)
        """,
        [tables],
    )
    return {f"{table}: row security is not forced" for (table,) in cursor.fetchall()}


def _wrong_policies(cursor: CursorWrapper, tables: list[str]) -> set[str]:
    cursor.execute(
        """
        SELECT c.relname, p.polname, p.polcmd::text, p.polpermissive,
               pg_get_expr(p.polqual, p.polrelid), pg_get_expr(p.polwithcheck, p.polrelid)
        FROM pg_policy p JOIN pg_class c ON c.oid = p.polrelid WHERE c.relname = ANY(%s)
        """,
        [tables],
    )
    found, protected = set(), set()
    for table, name, command, permissive, using, check in cursor.fetchall():
        if (name, command, permissive, using, check) == ("club_only", "*", True, IN_SCOPE, IN_SCOPE):
            protected.add(table)
        elif (table, name, command) not in FURTHER_POLICIES:
            found.add(f"{table}: policy {name} is not the usual one")
    return found | {f"{table}: no policy keeps it to the club" for table in set(tables) - protected}


def primary_keys(cursor: CursorWrapper) -> dict[str, list[str]]:
    """The columns of each club's table's primary key."""
    cursor.execute(
        """
        SELECT t.relname, array_agg(a.attname::text ORDER BY array_position(x.indkey::int2[], a.attnum)) FROM pg_index x
        JOIN pg_class t ON t.oid = x.indrelid
        JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum = ANY(x.indkey)
        WHERE x.indisprimary AND t.relname = ANY(%s) GROUP BY 1
        """,
        [sorted(tables_of_clubs(cursor))],
    )
    return dict(cursor.fetchall())


def _uniques_over_all_clubs(cursor: CursorWrapper, tables: list[str]) -> set[str]:
    cursor.execute(
        """
        SELECT t.relname, i.relname FROM pg_index x
        JOIN pg_class t ON t.oid = x.indrelid JOIN pg_class i ON i.oid = x.indexrelid
        LEFT JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum = x.indkey[0]
        WHERE x.indisunique AND NOT x.indisprimary AND t.relname = ANY(%s)
          AND a.attname IS DISTINCT FROM 'club_id'
        """,
        [tables],
    )
    return {f"{table}: unique {index} tells of other clubs' rows" for table, index in cursor.fetchall()}


def _keys_into_other_clubs(cursor: CursorWrapper, tables: list[str]) -> set[str]:
    cursor.execute(
        """
        SELECT t.relname, k.conname FROM pg_constraint k
        JOIN pg_class t ON t.oid = k.conrelid JOIN pg_class r ON r.oid = k.confrelid
        JOIN pg_attribute near ON near.attrelid = t.oid AND near.attnum = k.conkey[1]
        JOIN pg_attribute far ON far.attrelid = r.oid AND far.attnum = k.confkey[1]
        WHERE k.contype = 'f' AND t.relname = ANY(%s) AND r.relname = ANY(%s)
          AND NOT (near.attname = 'club_id' AND far.attname = 'club_id' AND cardinality(k.conkey) = 2)
        """,
        [tables, tables],
    )
    return {f"{table}: key {name} may point into another club" for table, name in cursor.fetchall()}


def composite_keys(cursor: CursorWrapper) -> set[tuple[str, str]]:
    """(table, column) of every foreign key on (club_id, column)."""
    cursor.execute(
        """
        SELECT t.relname, a.attname FROM pg_constraint k
        JOIN pg_class t ON t.oid = k.conrelid
        JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum = k.conkey[2]
        WHERE k.contype = 'f' AND cardinality(k.conkey) = 2
        """
    )
    return set(cursor.fetchall())
