"""Yesterday's code serves on today's schema: migrate first, then start the new processes one after the other.

Two tests of one promise. The first compares schemas and needs nothing but the database. The second runs the last
release's own valid request of every operation on a database that today's migrations made; it takes the release out
of the repository's history, so a clone for it has to be a whole one.
"""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.db import connections

from golfstats.ground.walls.bulk import insert_rows
from golfstats.ground.walls.scope import club_scope
from players.handicap.models import HandicapLine
from tests import factories
from tests.databases import committed
from tests.outbox.processes import database_url
from tests.postgres import released

ALLOWED: dict[str, str] = {}
"""What stands in the way of yesterday's code and may, with the reason: nobody writes the table any more, say."""


@pytest.mark.django_db
def test_nothing_that_the_last_release_uses_is_gone_or_asks_for_more() -> None:
    if os.environ.get("UPDATE_RELEASED") == "1":
        released.record()
    found = set(released.broken_promises(released.released(), released.schema_now()))
    assert found == set(ALLOWED), (
        "a release in between: first make it optional, then stop using it, then drop it"
    )


def test_canary_each_kind_of_change_that_breaks_it_is_found() -> None:
    before = {"round.note": ("text", "may be empty"), "round.day": ("date", "must be given")}
    assert list(released.broken_promises(before, before)) == []
    changed = {
        "gone": {"round.day": before["round.day"]},
        "was text": before | {"round.note": ("jsonb", "may be empty")},
        "must be given and may be empty before": before | {"round.note": ("text", "must be given")},
        "is new and must be given": before | {"round.par": ("integer", "must be given")},
        "one_a_day is new: unique": before | {"round one_a_day": ("constraint", "unique")},
    }
    for words, now in changed.items():
        (told,) = released.broken_promises(before, now)
        assert words in told
    harmless = {"round.par": ("integer", "has a default"), "plan.day": ("date", "must be given")}
    assert list(released.broken_promises(before, before | harmless)) == []


@committed
def test_rows_are_copied_into_a_table_that_a_newer_release_has_widened(two_clubs: tuple[Any, Any]) -> None:
    with connections["owner"].cursor() as owner:
        owner.execute(
            "ALTER TABLE players_handicapline ADD COLUMN of_a_newer_release text NOT NULL DEFAULT 'none'"
        )
    try:
        with club_scope(two_clubs[0].id):
            player = factories.make_player()
            insert_rows([HandicapLine(player=player, sequence=1, played_on=dt.date(2026, 4, 1))])
            assert HandicapLine.objects.filter(player=player).count() == 1
    finally:
        with connections["owner"].cursor() as owner:
            owner.execute("ALTER TABLE players_handicapline DROP COLUMN of_a_newer_release")


@pytest.mark.slow
@pytest.mark.django_db
def test_the_last_release_answers_every_valid_request_on_todays_schema(tmp_path: Path) -> None:
    done = subprocess.run(
        [
            sys.executable,
            *("-m", "pytest", "-q", "-n", "0", "--reuse-db", "-p", "no:cacheprovider"),
            *("tests/api/test_operations.py", "-k", "test_valid_request"),
        ],
        cwd=released.code_of_the_release(tmp_path),
        env=os.environ | as_the_tests_name_it(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-1000:]
    assert " passed" in done.stdout


def as_the_tests_name_it() -> dict[str, str]:
    """Settings for a pytest that is to work on this very test database: it puts "test_" before the name."""
    name = str(connections["default"].settings_dict["NAME"])
    assert name.startswith("test_")
    usual = name.removeprefix("test_")
    return {
        "DATABASE_URL": database_url("default").replace(name, usual),
        "OWNER_DATABASE_URL": database_url("owner").replace(name, usual),
        "SECRET_KEY": "only for a test: 0123456789 abcdefghijk",
        "COUNTS_IN": "process",
    }
