"""Everything that is stored, as one file, and back: with row security on, and whatever the version of PostgreSQL.

PostgreSQL's own tool cannot see the rows of clubs: the policies hold for it as well, and nobody is above them.
So the application role copies each club's rows in that club's scope, all as of one moment. The file is a zip of
CSV files as PostgreSQL writes them (RFC 4180), with a list of the migrations that made the tables.

Left out: sessions, counts and heartbeats, which are worth nothing later, letters not yet sent, and tables
that migrations or triggers fill.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO
from uuid import UUID

from django.db import connection, connections, transaction
from django.db.backends.utils import CursorWrapper
from django.utils import timezone
from psycopg import sql

from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import User
from golfstats.ground.walls.dated import RESTORING
from golfstats.ground.walls.scope import club_scope

MANIFEST = "manifest.json"
CLUBS = "clubs_club"
LEFT_OUT = frozenset(
    {
        "auth_group",
        "auth_group_permissions",
        "auth_permission",
        "clubs_counted",
        "clubs_user_groups",
        "clubs_user_user_permissions",
        "django_content_type",
        "django_migrations",
        "django_session",
        "mail_waitingletter",
        "outbox_workdone",
        "outbox_workerheartbeat",
        "players_golfmark",
        "players_roundchange",
    }
)


class CannotRestoreError(Exception):
    """The file does not go into this database; the text says why."""


def write_backup(path: Path) -> int:
    """Write everything into a file; gives the number of clubs."""
    with transaction.atomic(), zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
            migrations, owned, others = _migrations(cursor), *_tables(cursor)
            manifest = {"made_at": timezone.now().isoformat(), "migrations": migrations}
            file.writestr(MANIFEST, json.dumps(manifest, indent=1))
            for table in others:
                _copy_out(cursor, file, table, table)
        clubs = _club_ids()
        for club_id in clubs:
            with club_scope(club_id), connection.cursor() as cursor:
                for table in [CLUBS, *owned]:
                    _copy_out(cursor, file, table, f"{club_id}/{table}")
    return len(clubs)


def restore_backup(path: Path) -> int:
    """Put everything back into a database that has been migrated and holds nothing; gives the number of clubs.

    In one transaction: either all of it is there afterwards, or nothing is. Keys are checked at its end.
    """
    with zipfile.ZipFile(path) as file, transaction.atomic():
        with connection.cursor() as cursor:
            manifest = json.loads(file.read(MANIFEST))
            if manifest["migrations"] != _migrations(cursor):
                raise CannotRestoreError(
                    "the file was made with other migrations: use that version of the code"
                )
            cursor.execute("SELECT set_config(%s, 'yes', true)", [RESTORING])
            _, others = _tables(cursor)
            for table in others:
                cursor.execute(sql.SQL("SELECT EXISTS (SELECT FROM {})").format(sql.Identifier(table)))
                if cursor.fetchone()[0]:
                    raise CannotRestoreError(f"the database is not empty: there are rows in {table}")
                _copy_in(cursor, file, table, table)
        clubs: dict[str, list[str]] = {}
        for name in file.namelist():
            club_id, slash, table = name.removesuffix(".csv").partition("/")
            if slash:
                clubs.setdefault(club_id, []).append(table)
        for club_id, tables in clubs.items():
            with club_scope(UUID(club_id)), connection.cursor() as cursor:
                for table in tables:
                    _copy_in(cursor, file, table, f"{club_id}/{table}")
    _continue_numbering()
    return len(clubs)


def _club_ids() -> list[UUID]:
    """Every club. Nobody may list them, but each has a manager, and people see where they belong."""
    club_ids = {
        one.club.id for user_id in User.objects.values_list("id", flat=True) for one in memberships(user_id)
    }
    return sorted(club_ids)


def _migrations(cursor: CursorWrapper) -> list[str]:
    cursor.execute("SELECT app || '.' || name FROM django_migrations ORDER BY 1")
    return [name for (name,) in cursor.fetchall()]


def _tables(cursor: CursorWrapper) -> tuple[list[str], list[str]]:
    """Tables with a policy for clubs, and the others."""
    cursor.execute(
        "SELECT relname, relrowsecurity FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
        " ORDER BY relname"
    )
    tables = [(table, owned) for table, owned in cursor.fetchall() if table not in LEFT_OUT | {CLUBS}]
    return [table for table, owned in tables if owned], [table for table, owned in tables if not owned]


def _columns(cursor: CursorWrapper, table: str) -> sql.Composed:
    """Those that are stored and not computed by the database, in the order of their names."""
    cursor.execute(
        "SELECT column_name FROM information_schema.columns WHERE table_schema = 'public' AND table_name = %s"
        " AND is_generated = 'NEVER' ORDER BY column_name",
        [table],
    )
    return sql.SQL(", ").join(sql.Identifier(name) for (name,) in cursor.fetchall())


def _copy_out(cursor: CursorWrapper, file: zipfile.ZipFile, table: str, name: str) -> None:
    statement = sql.SQL("COPY (SELECT {} FROM {}) TO STDOUT WITH (FORMAT csv, HEADER)")
    with file.open(f"{name}.csv", "w", force_zip64=True) as target:
        columns = _columns(cursor, table)
        with cursor.copy(statement.format(columns, sql.Identifier(table))) as rows:
            for piece in rows:
                target.write(piece)


def _copy_in(cursor: CursorWrapper, file: zipfile.ZipFile, table: str, name: str) -> None:
    """By way of a temporary table: COPY straight into a table with policies is refused."""
    own, incoming = sql.Identifier(table), sql.Identifier(f"restored_{table}")
    columns = _columns(cursor, table)
    cursor.execute(sql.SQL("CREATE TEMPORARY TABLE {} (LIKE {}) ON COMMIT DROP").format(incoming, own))
    copy = sql.SQL("COPY {} ({}) FROM STDIN WITH (FORMAT csv, HEADER MATCH)").format(incoming, columns)
    with file.open(f"{name}.csv") as source, cursor.copy(copy) as rows:
        for piece in _pieces(source):
            rows.write(piece)
    insert = sql.SQL("INSERT INTO {} ({}) SELECT {} FROM {}").format(own, columns, columns, incoming)
    cursor.execute(insert)
    cursor.execute(sql.SQL("DROP TABLE {}").format(incoming))


def _pieces(source: IO[bytes]) -> Iterator[bytes]:
    while piece := source.read(1 << 20):
        yield piece


def _continue_numbering() -> None:
    """Numbers given by the database go on after the restored ones. Only the owner may say so."""
    with connections["owner"].cursor() as owner, connection.cursor() as cursor:
        owner.execute(
            "SELECT table_name, column_name FROM information_schema.columns"
            " WHERE table_schema = 'public' AND is_identity = 'YES'"
        )
        for table, column in owner.fetchall():
            query = sql.SQL("SELECT max({}) FROM {}").format(sql.Identifier(column), sql.Identifier(table))
            cursor.execute(query)
            (highest,) = cursor.fetchone()
            if highest is not None:
                owner.execute("SELECT setval(pg_get_serial_sequence(%s, %s), %s)", [table, column, highest])
