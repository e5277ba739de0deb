"""Rounds, shots and figures as streams: whatever the number of rounds, only a hundred are in memory."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import Enum
from typing import Any
from uuid import UUID

import orjson
from django.db.models import Q, QuerySet

from golfstats.ground.walls.scope import club_scope
from players.files.csv_format import HOLES_COLUMNS, PICKED_UP, ROUND_TEXT, WITHOUT_SHOTS, numbered, safe_text
from players.files.outgoing.lines import figure_lines, lines_of_holes, load_batch, round_lines, shot_lines
from players.files.outgoing.parquet import parquet
from players.files.outgoing.tables import FigureLine, HoleFacts, RoundLine, ShotLine, columns_of
from players.rounds.answers import load_shots, round_in_full
from players.rounds.models import PlayedHole, Round

CHUNK = 100

Rounds = QuerySet[Round]
Lines = Sequence[Any]
LinesOf = Callable[[Sequence[Round], str], Iterator[Any]]
"""The lines of some rounds, whose holes and shots are loaded, in a unit."""


def rounds_csv(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[str]:
    """A line a round, oldest first: the table, and the score, putts and so on of each hole."""
    of_table = [column.name for column in columns_of(RoundLine, unit)]
    by_hole = [numbered(column, hole) for column in HOLES_COLUMNS for hole in range(1, 19)]
    yield _written([[*of_table, PICKED_UP, *by_hole]])
    for chunk, lines in _lines(rounds, club_id, unit, _of_rounds):
        yield _written(
            [*_cells(line, of_table), *_of_holes(round_.holes.all())]
            for round_, line in zip(chunk, lines, strict=True)
        )


def rounds_json(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    """A JSON array of rounds, each as it is read one by one."""
    whole = ([round_in_full(one, unit) for one in chunk] for chunk in _chunks(rounds, club_id))
    return _json(whole)


def rounds_parquet(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    return _parquet(RoundLine, unit, _lines(rounds, club_id, unit, _of_rounds))


def shots_csv(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[str]:
    """A line a shot, oldest first; and one for each hole without shots of a round with shots."""
    of_table = [column.name for column in columns_of(ShotLine, unit)]
    yield _written([[*of_table, *WITHOUT_SHOTS]])
    for _, lines in _lines(rounds, club_id, unit, _of_holes_and_shots):
        yield _written([*_cells(line, of_table), *_known_of(hole, line)] for hole, line in lines)


def shots_json(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    return _json(lines for _, lines in _lines(rounds, club_id, unit, _of_shots))


def shots_parquet(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    return _parquet(ShotLine, unit, _lines(rounds, club_id, unit, _of_shots))


def figures_csv(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[str]:
    return _csv(FigureLine, unit, _lines(rounds, club_id, unit, figure_lines))


def figures_json(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    return _json(lines for _, lines in _lines(rounds, club_id, unit, figure_lines))


def figures_parquet(rounds: Rounds, club_id: UUID, unit: str) -> Iterator[bytes]:
    return _parquet(FigureLine, unit, _lines(rounds, club_id, unit, figure_lines))


def _of_rounds(rounds: Sequence[Round], unit: str) -> Iterator[RoundLine]:
    return round_lines(load_batch(rounds, unit))


def _of_shots(rounds: Sequence[Round], unit: str) -> Iterator[ShotLine]:
    return shot_lines(load_batch(rounds, unit))


def _of_holes_and_shots(rounds: Sequence[Round], unit: str) -> Iterator[tuple[PlayedHole, HoleFacts]]:
    return lines_of_holes(load_batch(rounds, unit))


def _lines(
    rounds: Rounds, club_id: UUID, unit: str, lines_of: LinesOf
) -> Iterator[tuple[Sequence[Round], Lines]]:
    """The lines chunk by chunk, with the rounds that they are of."""
    for chunk in _chunks(rounds, club_id):
        with club_scope(club_id):
            lines = list(lines_of(chunk, unit))
        yield chunk, lines


def _chunks(rounds: Rounds, club_id: UUID) -> Iterator[list[Round]]:
    """The rounds in order of date. Each chunk is read in a scope of its own, as the request's is over by then."""
    in_order = rounds.order_by("played_on", "id")
    after = Q()
    while True:
        with club_scope(club_id):
            chunk = list(in_order.filter(after)[:CHUNK])
            load_shots(chunk)
        if not chunk:
            return
        yield chunk
        last = chunk[-1]
        after = Q(played_on__gt=last.played_on) | Q(played_on=last.played_on, id__gt=last.id)


def _csv(table: type, unit: str, chunks: Iterable[tuple[Any, Lines]]) -> Iterator[str]:
    names = [column.name for column in columns_of(table, unit)]
    yield _written([names])
    for _, lines in chunks:
        yield _written(_cells(line, names) for line in lines)


def _json(chunks: Iterable[Lines]) -> Iterator[bytes]:
    separator = b"["
    for lines in chunks:
        for line in lines:
            yield separator + orjson.dumps(line)
            separator = b",\n"
    yield b"[]\n" if separator == b"[" else b"]\n"


def _parquet(table: type, unit: str, chunks: Iterable[tuple[Any, Lines]]) -> Iterator[bytes]:
    return parquet(columns_of(table, unit), (lines for _, lines in chunks))


def _written(rows: Iterable[Iterable[object]]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue()


def _cells(line: Any, names: Sequence[str]) -> list[object]:
    return [
        safe_text(str(getattr(line, name))) if name in ROUND_TEXT else _cell(getattr(line, name, None))
        for name in names
    ]


def _known_of(hole: PlayedHole, line: HoleFacts) -> list[object]:
    """What the shots of a hole would tell, where there are none."""
    if isinstance(line, ShotLine):
        return [""] * len(WITHOUT_SHOTS)
    return [_cell(getattr(hole, name)) for name in WITHOUT_SHOTS.values()]


def _of_holes(played: Iterable[PlayedHole]) -> list[object]:
    """Where the ball was picked up, then each column for all eighteen holes."""
    holes = {hole.number: hole for hole in played}
    picked_up = " ".join(str(number) for number, hole in holes.items() if hole.picked_up)
    cells = [
        _cell(getattr(holes.get(number), column, None)) for column in HOLES_COLUMNS for number in range(1, 19)
    ]
    return [picked_up, *cells]


def _cell(value: Any) -> object:
    """Nothing for what is not known, yes and no, lists with spaces between."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, list):
        return safe_text(" ".join(value))
    return safe_text(value) if isinstance(value, str) else value
