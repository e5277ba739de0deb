"""The least that could give the same: psycopg with the best SQL, orjson, one COPY, or bare NumPy. By hand, no Django."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

import numpy as np
import orjson
import psycopg
from psycopg import sql

Connection = psycopg.Connection[Any]

LAST_ROUNDS = """
    SELECT id FROM players_round WHERE player_id = ANY(%(players)s)
    ORDER BY played_on DESC, start_time DESC, id DESC LIMIT %(last)s
"""
SHOTS = """
    SELECT hole.round_id, hole.number, shot.number, lie, distance, holed, penalty_strokes, club_used, target_distance,
           travel, offline, miss_side, miss_depth, lie_quality, swing, slope, putt_break, fault
    FROM players_shot AS shot JOIN players_playedhole AS hole ON hole.id = shot.played_hole_id
    WHERE hole.round_id = ANY(%(rounds)s) ORDER BY hole.round_id, hole.number, shot.number
"""
GAINED = """
    SELECT round.player_id, round.id, round.played_on, figures.total, figures.tee, figures.approach, figures.short_game,
           figures.putting, figures.holes_covered, figures.score, round.analysis, course.name
    FROM players_round AS round LEFT JOIN players_roundfigures AS figures ON figures.round_id = round.id
    JOIN courses_teeset AS tees ON tees.id = round.tee_set_id JOIN courses_course AS course ON course.id = tees.course_id
    WHERE round.player_id = ANY(%(players)s) ORDER BY round.player_id, round.played_on
"""


class Floor:
    """A hand-written client of one club."""

    def __init__(self, connection: Connection, club: UUID) -> None:
        self._connection, self._club = connection, club

    def rows(self, *statements: str, **given: Any) -> list[list[Any]]:
        """What these statements find, in one transaction in the club's scope."""
        with self._connection.transaction(), self._connection.cursor(binary=True) as cursor:
            cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(self._club)])
            return [cursor.execute(statement.encode(), given).fetchall() for statement in statements]

    @contextmanager
    def transaction(self) -> Iterator[psycopg.Cursor[Any]]:
        """In the club's scope; ``psycopg.Rollback`` takes it back."""
        with self._connection.transaction(), self._connection.cursor() as cursor:
            cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(self._club)])
            yield cursor

    def player_answer(self, player: UUID, last: int | None, told: Any) -> bytes:
        """The shots that an answer about a player rests on, and the answer written; nothing computed between."""
        (found,) = self.rows(LAST_ROUNDS, players=[player], last=last)
        self.rows(SHOTS, rounds=[one for (one,) in found])
        return orjson.dumps(told)

    def stored_answer(self, player: UUID, told: Any) -> bytes:
        self.rows("SELECT document FROM players_playerreport WHERE player_id = %(player)s", player=player)
        return orjson.dumps(told)

    def dashboard(self, players: list[UUID], told: Any) -> bytes:
        """A row a round for the trends and the last rounds, reports, goals, notes and handicaps; the answer written."""
        self.rows(
            GAINED,
            "SELECT player_id, document FROM players_playerreport WHERE player_id = ANY(%(players)s)",
            "SELECT * FROM players_goal WHERE player_id = ANY(%(players)s)",
            "SELECT * FROM players_practicenote WHERE player_id = ANY(%(players)s)",
            "SELECT * FROM players_playerhandicap WHERE player_id = ANY(%(players)s)",
            players=players,
        )
        return orjson.dumps(told)

    def write_figures_again(self, round_id: UUID) -> None:
        """A round's shots read, and its figures taken away and written again as they are."""
        of_shots = """
            SELECT figures.* FROM players_shotfigures AS figures JOIN players_shot AS shot ON shot.id = figures.shot_id
            JOIN players_playedhole AS hole ON hole.id = shot.played_hole_id WHERE hole.round_id = %(round)s
        """
        of_round = "SELECT * FROM players_roundfigures WHERE round_id = %(round)s"
        with self.transaction() as cursor:
            cursor.execute(SHOTS.encode(), {"rounds": [round_id]}).fetchall()
            for table, statement in (("players_shotfigures", of_shots), ("players_roundfigures", of_round)):
                rows = cursor.execute(statement.encode(), {"round": round_id}).fetchall()
                columns = [one.name for one in cursor.description or ()]
                keys = [row[columns.index("id")] for row in rows]
                cursor.execute(f"DELETE FROM {table} WHERE id = ANY(%s)".encode(), [keys])
                write_rows(cursor, table, columns, rows)

    def list_rounds(self, page: int, pages: int) -> None:
        statement = """
            SELECT round.*, player.name, course.name, tees.name,
                   (SELECT (count(*), sum(score)) FROM players_playedhole AS hole WHERE hole.round_id = round.id)
            FROM players_round AS round JOIN players_player AS player ON player.id = round.player_id
            JOIN courses_teeset AS tees ON tees.id = round.tee_set_id
            JOIN courses_course AS course ON course.id = tees.course_id
            WHERE (round.played_on, round.id) < (%(day)s, %(id)s)
            ORDER BY round.played_on DESC, round.id DESC LIMIT %(page)s
        """
        day, row = "9999-01-01", "ffffffff-ffff-ffff-ffff-ffffffffffff"
        for _ in range(pages):
            with self._connection.transaction(), self._connection.cursor(binary=True) as cursor:
                cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(self._club)])
                found = cursor.execute(statement.encode(), {"day": day, "id": row, "page": page}).fetchall()
                names = [one.name for one in cursor.description or ()]
            orjson.dumps([dict(zip(names, one, strict=True)) for one in found], default=str)
            day, row = str(found[-1][names.index("played_on")]), str(found[-1][0])

    def copy_round(self, source: UUID, *, keep: bool = False) -> None:
        """The rows of a round once more, each table by one COPY as PostgreSQL lets the application role."""
        keys = {"players_round": "id", "players_playedhole": "round_id", "players_shot": None}
        fetched: dict[str, tuple[list[str], list[Any]]] = {}
        for table, key in keys.items():
            where = (
                f"{key} = %(id)s"
                if key
                else "played_hole_id IN (SELECT id FROM players_playedhole WHERE round_id = %(id)s)"
            )
            with self._connection.transaction(), self._connection.cursor() as cursor:
                cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(self._club)])
                cursor.execute(f"SELECT * FROM {table} WHERE {where}".encode(), {"id": source})
                fetched[table] = ([one.name for one in cursor.description or ()], cursor.fetchall())
        self._prepared = fetched

    def write_prepared(self, day: str) -> None:
        """One transaction: three COPYs through temporary tables, under new keys, and the row that asks for work."""
        made: dict[UUID, UUID] = {}
        with self._connection.transaction(), self._connection.cursor() as cursor:
            cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(self._club)])
            for table, (columns, rows) in self._prepared.items():
                write_rows(cursor, table, columns, [_renewed(columns, row, made, day) for row in rows])
            raise psycopg.Rollback


def write_rows(cursor: psycopg.Cursor[Any], table: str, columns: list[str], rows: list[list[Any]]) -> None:
    names = sql.SQL(", ").join(map(sql.Identifier, columns))
    incoming, target = sql.Identifier(f"floor_{table}"), sql.Identifier(table)
    cursor.execute(sql.SQL("CREATE TEMPORARY TABLE {} (LIKE {}) ON COMMIT DROP").format(incoming, target))
    with cursor.copy(sql.SQL("COPY {} ({}) FROM STDIN").format(incoming, names)) as stream:
        for row in rows:
            stream.write_row(row)
    cursor.execute(sql.SQL("INSERT INTO {} ({}) SELECT {} FROM {}").format(target, names, names, incoming))


def _renewed(columns: list[str], row: Any, made: dict[UUID, UUID], day: str) -> list[Any]:
    from golfstats.ground.ids import new_id

    values = list(row)
    for name in ("id", "round_id", "played_hole_id"):
        if name in columns:
            place = columns.index(name)
            values[place] = made.setdefault(values[place], new_id())
    if "played_on" in columns:
        values[columns.index("played_on")] = day
    return values


def interpolated(record: Any, curves: dict[int, tuple[Any, Any]]) -> Any:
    """Strokes gained by np.interp on the same curves, the shots of a hole in order."""
    shots = record.shots
    before = np.full(len(shots), np.nan)
    for lie, (yards, strokes) in curves.items():
        rows = np.flatnonzero(shots.lie == lie)
        before[rows] = np.interp(shots.distance[rows], yards, strokes)
    after = np.append(before[1:], 0.0)
    after[np.append(shots.hole[1:] != shots.hole[:-1], True)] = 0.0
    return before - after - 1 - shots.penalty


def notebook(frame: Any, curves: dict[int, tuple[Any, Any]]) -> Any:
    """The same as a statistician writes it in pandas."""
    import pandas as pd

    frame = frame.copy()
    frame["before"] = frame.groupby("lie")["distance"].transform(
        lambda of_lie: np.interp(of_lie, *curves[of_lie.name])
    )
    frame["after"] = frame.groupby("hole")["before"].shift(-1).fillna(0.0)
    frame["gained"] = frame["before"] - frame["after"] - 1 - frame["penalty"]
    return pd.Series(frame["gained"])
