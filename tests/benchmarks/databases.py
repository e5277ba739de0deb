"""The demo club, the same club grown to 40 players and five years, and that one ten times: three databases.

They are copies of each other in the embedded server, kept in the data folder, so that they are made once.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import psycopg
from django.conf import settings
from django.core.management import call_command
from django.db import connection, connections
from psycopg import sql

from golfstats.demo import loading
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import worker
from golfstats.ground.postgres import embedded
from golfstats.ground.postgres.statistics import refresh_statistics
from golfstats.ground.walls.scope import club_scope
from players.conditions.analysis import analyse_pending
from players.handicap.recompute import recompute
from players.people.models import Player, Squad, SquadPlayer

DEMO, GROWN, TENFOLD = "golfstats", "benchmarks_grown", "benchmarks_tenfold"
PLAYERS, YEARS, TIMES = 40, 5, 10
ERA_DAYS = 427
"""The demo's fourteen months, in whole weeks: an earlier era is the same golf so many days before."""
SQUAD = "Twenty players"

COPIED = {
    "players_player": {"id": "id", "member_id": None},
    "players_round": {"id": "id", "player_id": "player_id"},
    "players_playedhole": {"id": "id", "round_id": "round_id"},
    "players_shot": {"id": "id", "played_hole_id": "played_hole_id"},
}
FIGURES = {
    "players_roundfigures": {"id": "id", "round_id": "round_id"},
    "players_shotfigures": {"id": "id", "shot_id": "shot_id"},
    "players_playerhandicap": {"id": "id", "player_id": "player_id"},
    "players_playerreport": {"id": "id", "player_id": "player_id"},
}
"""Tables in the order of their keys, and which columns of a copy are made anew, from which."""

FUNCTIONS = f"""
CREATE OR REPLACE FUNCTION pg_temp.copied(id uuid, copy int, era int) RETURNS uuid LANGUAGE sql IMMUTABLE AS $$
    -- In order of time like every key of ours, or a copy's index would be spread as no club's is.
    SELECT CASE WHEN copy = 0 AND era = 0 THEN id ELSE (lpad(to_hex(
        ('x' || substr(replace(id::text, '-', ''), 1, 12))::bit(48)::bigint - era * {ERA_DAYS * 86_400_000}::bigint
    ), 12, '0') || substr(md5(id::text || copy || '.' || era), 13))::uuid END
$$;
"""


def make(say: Callable[[str], None], *, tenfold: bool) -> None:
    """Make what is missing of them, and migrate what was made by earlier code."""
    make_demo(say)
    for name, source, grow in ((GROWN, DEMO, _grow), (TENFOLD, GROWN, _copy_tenfold)):
        if name == TENFOLD and not tenfold:
            continue
        if not _exists(name):
            say(f"Making {name} …")
            _copy_database(source, name)
            use(name)
            grow()
        use(name)
        call_command("migrate", verbosity=0, interactive=False)
        worker.drain()


def make_demo(say: Callable[[str], None]) -> None:
    """The first of them alone."""
    use(DEMO)
    call_command("migrate", verbosity=0, interactive=False)
    description = loading.read_description()
    if loading.find_club(description) is None:
        loading.load(description, say)
    worker.drain()


def use(name: str) -> None:
    """The service of this process works on this database from now on."""
    for alias in ("default", "owner"):
        connections[alias].close()
        connections[alias].settings_dict["NAME"] = name
        settings.DATABASES[alias]["NAME"] = name


def superuser(name: str = "postgres") -> psycopg.Connection[Any]:
    """Of the embedded server alone: triggers, keys and policies do not hold it."""
    address = embedded.address_of(settings.DATA_FOLDER / "postgres")
    return psycopg.connect(
        host=str(address["HOST"]), port=int(address["PORT"]), user="postgres", dbname=name, autocommit=True
    )


def club() -> Club:
    found = loading.find_club(loading.read_description())
    assert found is not None
    return found


def _exists(name: str) -> bool:
    with superuser() as server:
        return bool(server.execute("SELECT 1 FROM pg_database WHERE datname = %s", [name]).fetchone())


def _copy_database(source: str, name: str) -> None:
    connections.close_all()
    with superuser() as server:
        server.execute(
            sql.SQL("CREATE DATABASE {} TEMPLATE {} OWNER golfstats_owner").format(
                sql.Identifier(name), sql.Identifier(source)
            )
        )


def _grow() -> None:
    """Forty players of five years: each the golf of a player of the demo, era by era."""
    with superuser(str(connection.settings_dict["NAME"])) as server:
        _prepare(server, PLAYERS, range((YEARS * 365) // ERA_DAYS + 1))
        for table, made in COPIED.items():
            _copy_table(server, table, made)
        server.execute("DROP TABLE wanted")
        server.execute("UPDATE players_round SET analysis = 'pending'")
    found = club()
    with club_scope(found.id):
        refresh_statistics()
        players = list(Player.objects.order_by("id"))
        squad = Squad.objects.create(name=SQUAD)
        SquadPlayer.objects.bulk_create(SquadPlayer(squad=squad, player=player) for player in players[:20])
        for player in players:
            recompute(player.id)
        analyse_pending()
        refresh_statistics()
    worker.drain()


def _copy_tenfold() -> None:
    with superuser(str(connection.settings_dict["NAME"])) as server:
        _prepare(server, TIMES * PLAYERS, range(1), after=PLAYERS)
        for table, made in (COPIED | FIGURES).items():
            _copy_table(server, table, made)
        server.execute("DROP TABLE wanted")
        server.execute("VACUUM ANALYZE")


def _prepare(server: psycopg.Connection[Any], players: int, eras: range, *, after: int = 0) -> None:
    """What is to be copied: ``wanted`` says of each player which copy and era, until there are so many players.

    Copies are counted from ``after`` on: a copy's keys and name come of its number, and the source has copies already.
    """
    server.execute("SET session_replication_role = replica")
    server.execute("SET work_mem = '256MB'")
    server.execute(FUNCTIONS)
    server.execute(
        """
        CREATE TABLE wanted AS
        SELECT player.id AS player, CASE WHEN copy > 0 THEN copy + %(after)s ELSE 0 END AS copy, era
        FROM (SELECT id, row_number() OVER (ORDER BY id) - 1 AS place, count(*) OVER () AS players
              FROM players_player WHERE club_id = (SELECT id FROM clubs_club WHERE demo)) AS player,
             generate_series(0, %(copies)s) AS copy, generate_series(0, %(last)s) AS era
        WHERE place + copy * players < %(players)s AND (copy > 0 OR era > 0)
        """,
        {"copies": players, "last": eras[-1], "players": players, "after": after},
    )
    server.execute("ANALYZE wanted")


def _copy_table(server: psycopg.Connection[Any], table: str, made: dict[str, str | None]) -> None:
    columns = [one.name for one in server.execute(f"SELECT * FROM {table} LIMIT 0").description or ()]
    values = {name: f'source."{name}"' for name in columns}
    for name, source in made.items():
        # A player has one row, whatever the number of eras.
        era = "0" if "player" in name or table in _OF_A_PLAYER else "era"
        values[name] = "NULL" if source is None else f"pg_temp.copied(source.{source}, copy, {era})"
    if table == "players_player":
        values["name"] = "left(source.name, 100) || ' ' || copy"
    if table == "players_round":
        values["played_on"] = f"source.played_on - era * {ERA_DAYS}"
    names = ", ".join(f'"{name}"' for name in columns)
    chosen = ", ".join(values[name] for name in columns)
    joined, only = _JOINS[table]
    server.execute(
        f"INSERT INTO {table} ({names}) SELECT {chosen} FROM {table} AS source {joined} "
        f"JOIN wanted ON wanted.player = {only}"
        + (" AND wanted.era = 0" if table in _OF_A_PLAYER else "")
        + (f" WHERE {_IN_FIVE_YEARS}" if table not in _OF_A_PLAYER else "")
    )


_IN_FIVE_YEARS = (
    f"round.played_on - era * {ERA_DAYS} > (SELECT max(played_on) FROM players_round) - {YEARS * 365}"
)
_OF_A_PLAYER = {"players_player", "players_playerhandicap", "players_playerreport"}
_ROUND_OF_HOLE = "JOIN players_round AS round ON round.id = source.round_id"
_ROUND_OF_SHOT = (
    f"JOIN players_playedhole AS hole ON hole.id = {{}} {_ROUND_OF_HOLE.replace('source', 'hole')}"
)
_JOINS = {
    "players_player": ("", "source.id"),
    "players_playerhandicap": ("", "source.player_id"),
    "players_playerreport": ("", "source.player_id"),
    "players_round": ("JOIN players_round AS round ON round.id = source.id", "source.player_id"),
    "players_playedhole": (_ROUND_OF_HOLE, "round.player_id"),
    "players_roundfigures": (_ROUND_OF_HOLE, "round.player_id"),
    "players_shot": (_ROUND_OF_SHOT.format("source.played_hole_id"), "round.player_id"),
    "players_shotfigures": (
        f"JOIN players_shot AS shot ON shot.id = source.shot_id {_ROUND_OF_SHOT.format('shot.played_hole_id')}",
        "round.player_id",
    ),
}
