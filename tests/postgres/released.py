"""What the code of the last release finds in the database: every column that it reads and writes.

Kept as text, so that the comparison needs no history of the repository. ``UPDATE_RELEASED=1`` with
``tests/postgres/test_released.py`` writes the file anew; the commit that contains it is the one that is released.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

from django.db import connection

FILE = Path(__file__).parent / "released.txt"
ROOT = Path(__file__).parent.parent.parent

COLUMNS = """
    SELECT c.relname || '.' || a.attname,
           format_type(a.atttypid, NULL),
           CASE WHEN NOT a.attnotnull THEN 'may be empty' WHEN a.atthasdef OR a.attidentity <> '' THEN 'has a default'
                ELSE 'must be given' END
    FROM pg_attribute a
    JOIN pg_class c ON c.oid = a.attrelid AND c.relkind IN ('r', 'p')
    JOIN pg_namespace n ON n.oid = c.relnamespace AND n.nspname = 'public'
    WHERE a.attnum > 0 AND NOT a.attisdropped
"""
LIMITS = """
    SELECT c.relname || ' ' || o.conname, 'constraint', CASE o.contype WHEN 'u' THEN 'unique' ELSE 'check' END
    FROM pg_constraint o
    JOIN pg_class c ON c.oid = o.conrelid
    JOIN pg_namespace n ON n.oid = c.relnamespace AND n.nspname = 'public'
    WHERE o.contype IN ('c', 'u', 'x')
"""
Schema = dict[str, tuple[str, str]]
"""By "table.column" its type and whether it must be given; by "table constraint" of which kind that is."""


def schema_now() -> Schema:
    with connection.cursor() as cursor:
        cursor.execute(f"{COLUMNS} UNION ALL {LIMITS}")
        return {name: (kind, rest) for name, kind, rest in cursor.fetchall()}


def released() -> Schema:
    """What the migrations of the last release make."""
    parts = [line.split("\t") for line in FILE.read_text().splitlines()]
    return {name: (kind, rest) for name, kind, rest in parts}


def record() -> None:
    FILE.write_text("".join("\t".join((name, *told)) + "\n" for name, told in sorted(schema_now().items())))


def code_of_the_release(folder: Path) -> Path:
    """Its code: that of the commit which recorded its schema last. Where no history is kept, the code that is here."""
    last = ["git", "log", "-1", "--format=%H", "--", str(FILE)]
    found = subprocess.run(last, cwd=ROOT, capture_output=True, text=True, check=False)
    commit = found.stdout.strip()
    if not commit:
        return ROOT
    archive, release = folder / "release.tar", folder / "release"
    subprocess.run(["git", "archive", "--output", archive, commit], cwd=ROOT, check=True)
    release.mkdir()
    subprocess.run(["tar", "-xf", archive, "-C", release], check=True)
    return release


def broken_promises(before: Schema, now: Schema) -> Iterator[str]:
    """What code that knows ``before`` alone would stumble over."""
    tables = {table_of(name) for name in before}
    for name, (kind, rest) in before.items():
        if kind == "constraint":
            continue
        if name not in now:
            yield f"{name} is gone"
        elif now[name][0] != kind:
            yield f"{name} was {kind} and is {now[name][0]}"
        elif now[name][1] == "must be given" and rest != "must be given":
            yield f"{name} must be given and {rest} before"
    for name, (kind, rest) in now.items():
        if table_of(name) not in tables:
            continue
        if name not in before and kind == "constraint":
            yield f"{name} is new: {rest}"
        elif name not in before and rest == "must be given":
            yield f"{name} is new and must be given"


def table_of(name: str) -> str:
    return name.replace(" ", ".").partition(".")[0]
