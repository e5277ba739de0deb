"""Posting a round reads as much of the table of shots when the table is ten times as large."""

from __future__ import annotations

import datetime as dt

from django.db import connection

from golfstats.ground.postgres.statistics import refresh_statistics
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.players.conftest import Place, place

__all__ = ["place"]  # a fixture of theirs that is used here as well

TABLES = {
    "players_round": {"id": "id"},
    "players_playedhole": {"id": "id", "round_id": "round_id"},
    "players_shot": {"id": "id", "played_hole_id": "played_hole_id"},
}
"""In the order of their keys; which columns are made anew for a copy, from which."""


def copy_rows(copies: range) -> None:
    """So many copies of all rounds with their holes and shots; the check of shots runs once for all of them."""
    for table, keys in TABLES.items():
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT * FROM {table} LIMIT 0")
            columns = [column.name for column in cursor.description]
            values = [
                f"md5({keys[name]}::text || i)::uuid" if name in keys else f'"{name}"' for name in columns
            ]
            names = ", ".join(f'"{name}"' for name in columns)
            kept = "" if table != "players_round" else "WHERE id IN (SELECT id FROM players_round LIMIT 1)"
            if table == "players_playedhole":
                kept = "WHERE md5(round_id::text || i)::uuid IN (SELECT id FROM players_round)"
            if table == "players_shot":
                kept = "WHERE md5(played_hole_id::text || i)::uuid IN (SELECT id FROM players_playedhole)"
            numbers = f"generate_series({copies.start}, {copies.stop - 1}) AS i"
            cursor.execute(
                f"INSERT INTO {table} ({names}) SELECT {', '.join(values)} FROM {table}, {numbers} {kept}"
            )


def shots_read() -> int:
    """Rows of the table of shots that this transaction has read so far, from the table or through an index."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT seq_tup_read + coalesce(idx_tup_fetch, 0) FROM pg_stat_xact_user_tables WHERE relname = 'players_shot'"
        )
        return int(cursor.fetchone()[0])


def read_by_posting(place: Place, day: dt.date) -> int:
    before = shots_read()
    factories.make_round(place.manager, place.player, day)
    return shots_read() - before


def test_posting_reads_no_more_shots_in_a_table_ten_times_as_large(place: Place) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
        copy_rows(range(100))
        refresh_statistics()
        small = read_by_posting(place, dt.date(2026, 6, 15))
        copy_rows(range(100, 1100))
        large = read_by_posting(place, dt.date(2026, 6, 16))
    assert small > 0
    assert large <= 1.2 * small
