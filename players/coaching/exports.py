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
from players.models import PlayedHole, Round, Shot, ShotFigures
from players.queries import round_head
from players.round_input import HoleInput, RoundInput, ShotInput

CHUNK = 100

Figures = dict[UUID, tuple[str, float]]
"""Part of the game and strokes gained by shot."""

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
    yield _lines([SCORES_HEADER])
    for chunk in _chunks(rounds, club_id):
        yield _lines(_scores_row(round_, unit) for round_ in chunk)


def shots_csv(rounds: QuerySet[Round], club_id: UUID, unit: str) -> Iterator[str]:
    """A line a shot, with its strokes gained against the club's benchmark where they have been worked out.

    Distances are in ``unit``: metres, or yards with feet on the green.
    """
    yield _lines([SHOTS_HEADER])
    for chunk in _chunks(rounds, club_id):
        figures = _figures_of(chunk, club_id)
        yield _lines(row for round_ in chunk for row in _shot_rows(round_, figures, unit))


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


def _figures_of(rounds: Iterable[Round], club_id: UUID) -> Figures:
    """One query: a prefetch would prepare one for each shot."""
    with club_scope(club_id):
        found = ShotFigures.objects.filter(shot__played_hole__round__in=[round_.id for round_ in rounds])
        return {
            shot: (part, gained) for shot, part, gained in found.values_list("shot", "part", "strokes_gained")
        }


def _lines(rows: Iterable[Iterable[object]]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue()


def _scores_row(round_: Round, unit: str) -> list[object]:
    given = round_output.as_input(round_, unit)
    holes = {hole.number: hole for hole in given.holes}
    picked_up = " ".join(str(hole.number) for hole in given.holes if hole.picked_up)
    cells = [_of_hole(holes.get(number), column) for column in HOLES_COLUMNS for number in range(1, 19)]
    return [round_.id, *_round_cells(given), picked_up, *cells]


def _shot_rows(round_: Round, figures: Figures, unit: str) -> Iterator[list[object]]:
    given = round_output.as_input(round_, unit)
    heading = [round_.id, *_round_cells(given), unit]
    played = sorted(round_.holes.all(), key=lambda hole: hole.number)
    for stored, hole in zip(played, given.holes, strict=True):
        about_hole = [hole.number, hole.score, _cell(hole.picked_up)]
        for number, (row, shot) in enumerate(zip(_shots(stored), hole.shots, strict=True), start=1):
            yield [*heading, *about_hole, number, *_shot_cells(shot), *_part_and_gained(row, figures)]


def _shots(hole: PlayedHole) -> list[Shot]:
    return sorted(hole.shots.all(), key=lambda shot: shot.number)


def _part_and_gained(shot: Shot, figures: Figures) -> tuple[object, object]:
    """Nothing where they have not been worked out."""
    part, gained = figures.get(shot.id, ("", None))
    return part, "" if gained is None else round(gained, 4)


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
