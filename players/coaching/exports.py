"""Rounds and shots as streams of text: whatever the number of rounds, only a hundred are in memory."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any
from uuid import UUID

import orjson
from django.db.models import Q, QuerySet

from golfstats.clubs.scope import club_scope
from players import round_output
from players.coaching.csv_format import (
    HOLE_NUMBER,
    HOLE_SCORE,
    HOLES_COLUMNS,
    PICKED_UP,
    ROUND_COLUMNS,
    ROUND_TEXT,
    SHOT_COLUMNS,
    SHOT_FIELDS,
    numbered,
    safe_text,
)
from players.models import PlayedHole, Round, Shot
from players.queries import round_head
from players.round_input import HoleInput, RoundInput, ShotInput

CHUNK = 100

SCORES_HEADER = [
    "round",
    *ROUND_COLUMNS,
    PICKED_UP,
    *(numbered(column, hole) for column in HOLES_COLUMNS for hole in range(1, 19)),
]
SHOTS_HEADER = [
    "round",
    *ROUND_COLUMNS,
    "unit",
    HOLE_NUMBER,
    HOLE_SCORE,
    PICKED_UP,
    "shot",
    *SHOT_COLUMNS,
    "part",
    "strokes_gained",
]


def rounds_csv(rounds: QuerySet[Round], club_id: UUID, unit: str) -> Iterator[str]:
    """A line a round, oldest first, with the score, putts and so on of each hole."""
    yield _line(SCORES_HEADER)
    for chunk in _chunks(rounds, club_id):
        yield "".join(_line(_scores_row(round_, unit)) for round_ in chunk)


def shots_csv(rounds: QuerySet[Round], club_id: UUID, unit: str) -> Iterator[str]:
    """A line a shot, with its strokes gained against the club's benchmark where they have been worked out.

    Distances are in ``unit``: metres, or yards with feet on the green.
    """
    yield _line(SHOTS_HEADER)
    with_figures = rounds.prefetch_related("holes__shots__figures")
    for chunk in _chunks(with_figures, club_id):
        yield "".join(_line(row) for round_ in chunk for row in _shot_rows(round_, unit))


def rounds_json(rounds: QuerySet[Round], club_id: UUID, unit: str) -> Iterator[bytes]:
    """A JSON array of rounds, each as it is read one by one and could be posted again."""
    yield b"["
    separator = b""
    for chunk in _chunks(rounds, club_id):
        for round_ in chunk:
            given = round_output.as_input(round_, unit).model_dump(mode="json")
            yield separator + orjson.dumps(round_head(round_) | {"round": given})
            separator = b",\n"
    yield b"]\n"


def _chunks(rounds: QuerySet[Round], club_id: UUID) -> Iterator[list[Round]]:
    """The rounds in order of date. Each chunk is read in a scope of its own, as the request's is over by then."""
    in_order = rounds.order_by("played_on", "id")
    after = Q()
    while True:
        with club_scope(club_id):
            chunk = list(in_order.filter(after)[:CHUNK])
        if not chunk:
            return
        yield chunk
        last = chunk[-1]
        after = Q(played_on__gt=last.played_on) | Q(played_on=last.played_on, id__gt=last.id)


def _line(cells: Iterable[object]) -> str:
    text = io.StringIO()
    csv.writer(text).writerow(cells)
    return text.getvalue()


def _scores_row(round_: Round, unit: str) -> list[object]:
    given = round_output.as_input(round_, unit)
    holes = {hole.number: hole for hole in given.holes}
    picked_up = " ".join(str(hole.number) for hole in given.holes if hole.picked_up)
    cells = [_of_hole(holes.get(number), column) for column in HOLES_COLUMNS for number in range(1, 19)]
    return [round_.id, *_round_cells(given), picked_up, *cells]


def _shot_rows(round_: Round, unit: str) -> Iterator[list[object]]:
    given = round_output.as_input(round_, unit)
    heading = [round_.id, *_round_cells(given), unit]
    played = sorted(round_.holes.all(), key=lambda hole: hole.number)
    for stored, hole in zip(played, given.holes, strict=True):
        about_hole = [hole.number, hole.score, _cell(hole.picked_up)]
        for number, (row, shot) in enumerate(zip(_shots(stored), hole.shots, strict=True), start=1):
            yield [*heading, *about_hole, number, *_shot_cells(shot), *_figures(row)]


def _shots(hole: PlayedHole) -> list[Shot]:
    return sorted(hole.shots.all(), key=lambda shot: shot.number)


def _figures(shot: Shot) -> tuple[object, object]:
    """Part of the game and strokes gained, if they have been worked out."""
    for figures in shot.figures.all():
        return figures.part, round(figures.strokes_gained, 4)
    return "", ""


def _round_cells(given: RoundInput) -> list[object]:
    return [
        safe_text(str(getattr(given, column))) if column in ROUND_TEXT else _cell(getattr(given, column))
        for column in ROUND_COLUMNS
    ]


def _of_hole(hole: HoleInput | None, column: str) -> object:
    return "" if hole is None else _cell(getattr(hole, column))


def _shot_cells(shot: ShotInput) -> list[object]:
    return [_cell(getattr(shot, SHOT_FIELDS.get(column, column))) for column in SHOT_COLUMNS]


def _cell(value: Any) -> object:
    """Nothing for what is not known, yes and no, lists with spaces between."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return safe_text(" ".join(value))
    return safe_text(value) if isinstance(value, str) else value
