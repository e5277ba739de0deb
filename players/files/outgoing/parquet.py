"""Tables as Parquet (parquet.apache.org), a row group at a time: no more than one is ever in memory."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from enum import Enum
from typing import Any
from uuid import UUID

import pyarrow as pa
import pyarrow.parquet as pq

from players.files.outgoing.tables import TableColumn

_TYPES = {
    "text": pa.string(),
    "whole number": pa.int32(),
    "number": pa.float64(),
    "yes or no": pa.bool_(),
    "day": pa.date32(),
    "time of day": pa.time32("s"),
    "list of text": pa.list_(pa.string()),
}


class _Outlet:
    """A file that is only written: what has been written is taken out piece by piece."""

    closed = False

    def __init__(self) -> None:
        self._pieces: list[bytes] = []
        self._written = 0

    def write(self, piece: Any) -> int:
        self._pieces.append(bytes(piece))
        self._written += len(self._pieces[-1])
        return len(self._pieces[-1])

    def tell(self) -> int:
        return self._written

    def flush(self) -> None:
        """Nothing is held back."""

    def take(self) -> bytes:
        pieces, self._pieces = self._pieces, []
        return b"".join(pieces)


def parquet(columns: Sequence[TableColumn], groups: Iterable[Sequence[Any]]) -> Iterator[bytes]:
    """A Parquet file in pieces; each group of lines becomes a row group. Every column carries its entry of the data
    dictionary as metadata, the file the whole of it as ``data_dictionary``.
    """
    schema, outlet = _schema(columns), _Outlet()
    with pq.ParquetWriter(outlet, schema, compression="zstd") as writer:
        for lines in groups:
            arrays = [
                pa.array([_plain(getattr(line, column.name)) for line in lines], _TYPES[column.type])
                for column in columns
            ]
            writer.write_table(pa.Table.from_arrays(arrays, schema=schema))
            yield outlet.take()
    yield outlet.take()


def _schema(columns: Sequence[TableColumn]) -> object:
    fields = [
        pa.field(column.name, _TYPES[column.type], nullable=column.may_be_missing, metadata=_metadata(column))
        for column in columns
    ]
    dictionary = json.dumps([asdict(column) for column in columns], ensure_ascii=False)
    return pa.schema(fields, metadata={"data_dictionary": dictionary})


def _metadata(column: TableColumn) -> dict[str, str]:
    codes = json.dumps([code.code for code in column.codes]) if column.codes else None
    entries = {"meaning": column.meaning, "unit": column.unit, "codes": codes}
    return {name: text for name, text in entries.items() if text is not None}


def _plain(value: Any) -> object:
    """Ids and words as text."""
    if isinstance(value, Enum):
        return str(value.value)
    return str(value) if isinstance(value, UUID) else value
