"""Columns of many rows as arrays: PostgreSQL writes the values of a column one after another, NumPy reads them so.

No row becomes Python objects on its way. As tuples, a player's five years took seven times the processor time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, overload
from uuid import UUID

import numpy as np
from numpy.typing import NDArray
from psycopg import sql

from golfstats.calc.record import Bools, Ints
from golfstats.calc.vocabulary import UNKNOWN, Word
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.lookups import Keys
from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.scope import current_club_id

KEYS_AT_ONCE = 50_000
"""So many keys are looked for in one query: what comes of their rows stays far below the gigabyte of an answer."""
BETWEEN_ROWS, BETWEEN_WORDS = "\x1e", "\x1f"
"""Between texts: no word of ours or of a player has a control character."""


class Ids(Sequence[UUID]):
    """Keys as two numbers each; a UUID is made of one when it is looked at."""

    def __init__(self, halves: NDArray[np.uint64]) -> None:
        self.halves = halves

    @classmethod
    def of(cls, ids: Sequence[UUID]) -> Ids:
        return cls.read(b"".join(one.bytes for one in ids))

    @classmethod
    def read(cls, raw: bytes) -> Ids:
        return cls(np.frombuffer(raw, dtype=">u8").astype(np.uint64).reshape(-1, 2))

    def __len__(self) -> int:
        return len(self.halves)

    @overload
    def __getitem__(self, at: int) -> UUID: ...
    @overload
    def __getitem__(self, at: slice) -> Ids: ...
    def __getitem__(self, at: int | slice) -> UUID | Ids:
        if isinstance(at, slice):
            return Ids(self.halves[at])
        high, low = self.halves[at].tolist()
        return UUID(int=high << 64 | low)

    def __iter__(self) -> Iterator[UUID]:
        for high, low in self.halves.tolist():
            yield UUID(int=high << 64 | low)

    def keys(self) -> Keys:
        """What ``any_of`` takes."""
        return Keys("{" + self.halves.astype(">u8").tobytes().hex(",", 16) + "}")

    def those(self, rows: Bools | Ints) -> Ids:
        return Ids(self.halves[rows])

    def rows_in(self, among: Ids) -> Ints:
        """At which row each of these keys stands among the others, which are all different and hold every one."""
        rows = self.places_in(among)
        if (rows == UNKNOWN).any():
            raise KeyError("a row belongs to another that was not read")
        return rows

    def places_in(self, among: Ids) -> Ints:
        """The same where some are not among them: ``UNKNOWN`` of these."""
        # The same key mostly stands in rows that follow each other: it is looked for once.
        begins = np.append(True, (self.halves[1:] != self.halves[:-1]).any(axis=1))[: len(self)]
        halves = np.concatenate([among.halves, self.halves[begins]])
        order = np.lexsort(
            (halves[:, 1], halves[:, 0])
        )  # keeps the order of equals: those of ``among`` first
        ordered = halves[order]
        is_first = np.append(True, (ordered[1:] != ordered[:-1]).any(axis=1))[: len(order)]
        rows = np.empty(len(order), dtype=np.int64)
        rows[order] = order[is_first][np.cumsum(is_first) - 1]
        rows[rows >= len(among)] = UNKNOWN
        places: Ints = rows[len(among) :][np.cumsum(begins) - 1]
        return places


@dataclass(frozen=True)
class Column:
    """How PostgreSQL writes a column, and how its pieces are read."""

    written: str
    """In SQL: one value of the rows that are found."""
    read: Callable[[list[Any]], Any]


def ids(name: str) -> Column:
    return Column(_bytes(name, "uuid_send({})"), lambda pieces: Ids.read(b"".join(pieces)))


def floats(name: str) -> Column:
    """NaN where nothing is known."""
    return _array(_bytes(name, "float8send(coalesce({}, 'NaN'))"), ">f8", np.float64)


def whole(name: str, dtype: Any = np.int64) -> Column:
    """Numbers, or yes (1) and no (0); ``UNKNOWN`` where nothing is known."""
    return _array(_bytes(name, f"int4send(coalesce({{}}::int4, {UNKNOWN}))"), ">i4", dtype)


def codes(name: str, words: type[Word]) -> Column:
    known = " ".join(f"WHEN '{one.word}' THEN '\\x{one:02x}'::bytea" for one in words)
    return _array(_bytes(name, f"CASE {{}} WHEN '' THEN '\\xff'::bytea {known} END"), "i1", np.int8)


def texts(name: str) -> Column:
    return Column(_texts(name, "{}"), _split)


def lists(name: str) -> Column:
    """Lists of words, nearly all of them empty."""
    return Column(
        _texts(name, f"array_to_string({{}}, chr({ord(BETWEEN_WORDS)}))"),
        lambda pieces: [tuple(text.split(BETWEEN_WORDS)) if text else () for text in _split(pieces)],
    )


def _split(pieces: list[str]) -> list[str]:
    return [text for piece in pieces for text in piece.split(BETWEEN_ROWS)]


def _bytes(name: str, value: str) -> str:
    return _joined(name, value, "''::bytea")


def _texts(name: str, value: str) -> str:
    return _joined(name, value, f"chr({ord(BETWEEN_ROWS)})")


def _joined(name: str, value: str, between: str) -> str:
    """Written out and not put together of Django's expressions, which take longer than the shots of a round."""
    column = f'"{name}"'
    return f"string_agg({value.format(column)}, {between})"


class Table:
    """Columns by name."""

    def __init__(self, columns: Mapping[str, Any]) -> None:
        lengths = {name: len(column) for name, column in columns.items()}
        if len(set(lengths.values())) > 1:
            raise ValueError(f"a column has a value that nobody expects: {lengths}")
        self._of = dict(columns)

    def __getitem__(self, name: str) -> Any:
        return self._of[name]

    def take_out(self, name: str) -> Any:
        """A column that is needed no more: it is neither kept nor put in order."""
        return self._of.pop(name)

    def ordered(self, order: Ints) -> Table:
        return Table({name: _in_order(column, order) for name, column in self._of.items()})


def read_all(of: type[ClubOwned], columns: Mapping[str, Column]) -> Table:
    """Every row of the club in scope."""
    statement = _statement(of._meta.db_table, tuple(column.written for column in columns.values()), None)
    with prepared_cursor(binary=True) as cursor:
        cursor.execute(statement, [current_club_id()])
        found = cursor.fetchone()
    return _table(columns, [found])


def read_table(of: type[ClubOwned], columns: Mapping[str, Column], key: str, keys: Ids) -> Table:
    """The rows of the club in scope whose key is one of these."""
    statement = _statement(of._meta.db_table, tuple(column.written for column in columns.values()), key)
    found = []
    with prepared_cursor(binary=True) as cursor:
        for start in range(0, max(len(keys), 1), KEYS_AT_ONCE):
            cursor.execute(statement, [current_club_id(), keys[start : start + KEYS_AT_ONCE].keys().text])
            found.append(cursor.fetchone())
    return _table(columns, found)


def _table(columns: Mapping[str, Column], found: Sequence[Any]) -> Table:
    return Table(
        {
            name: column.read([pieces[place] for pieces in found if pieces[place] is not None])
            for place, (name, column) in enumerate(columns.items())
        }
    )


@cache
def _statement(table: str, written: Sequence[str], key: str | None) -> str:
    """One for all players, so that the server plans its two dozen columns once a connection."""
    statement = sql.SQL("SELECT {} FROM {} WHERE club_id = %s")
    values = sql.SQL(", ".join(written))
    every = statement.format(values, sql.Identifier(table))
    if key is None:
        return every.as_string()
    return (every + sql.SQL(" AND {} = ANY(%s::uuid[])").format(sql.Identifier(key))).as_string()


def _array(written: str, stored: str, dtype: Any) -> Column:
    return Column(written, lambda pieces: np.frombuffer(b"".join(pieces), dtype=stored).astype(dtype))


def _in_order(column: Any, order: Ints) -> Any:
    if isinstance(column, Ids):
        return column.those(order)
    return [column[row] for row in order.tolist()] if isinstance(column, list) else column[order]
