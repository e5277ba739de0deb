"""A backup goes into another version of PostgreSQL and back, with row security on all the way.

From the newest to an older one; where the tests run on the oldest that is supported, from that to the newest.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from django.core.management import call_command
from django.db import connection

from golfstats.ground.outbox import worker
from golfstats.ground.postgres import embedded
from tests.chaos.parts import BEFORE, NEWEST, OwnPostgres
from tests.clubs.test_backup import contents, empty_everything, make_golf
from tests.databases import committed
from tests.outbox.processes import ROOT


@pytest.fixture
def folder() -> Iterator[Path]:
    # Not pytest's own: only its own user may enter that one, and PostgreSQL runs as another.
    made = Path(tempfile.mkdtemp())
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


@committed
def test_a_backup_goes_into_another_version_and_back(folder: Path) -> None:
    clubs = [make_golf("larkmoor"), make_golf("stonebarrow")]
    worker.drain()
    before = contents(clubs)
    call_command("backup", folder / "here.zip")

    here = connection.pg_version // 10_000
    other = OwnPostgres(folder / "postgres", BEFORE if here == NEWEST else NEWEST)
    try:
        manage(other, "migrate", "--verbosity", "0", "--database", "owner")
        manage(other, "restore", str(folder / "here.zip"))
        with psycopg.connect(other.address("golfstats_app")) as session:
            version = session.info.server_version // 10_000
            seen = session.execute("SELECT count(*) FROM players_shot").fetchone()
        assert {here, version} in ({BEFORE, NEWEST}, {15, NEWEST})
        assert seen == (0,), "nobody sees a row without a scope"
        manage(other, "backup", str(folder / "there.zip"))
    finally:
        other.stop()

    empty_everything()
    call_command("restore", folder / "there.zip")
    assert contents(clubs) == before
    assert before["larkmoor players_shot"][0] > 50


def manage(server: OwnPostgres, *arguments: str) -> None:
    """A command of the service on this server, to its end."""
    environment = os.environ | {
        "DATABASE_URL": server.address("golfstats_app"),
        "OWNER_DATABASE_URL": server.address(embedded.OWNER_ROLE),
        "SECRET_KEY": "only for a test: 0123456789 abcdefghijk",
    }
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
