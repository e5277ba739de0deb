"""What the columns of somebody's file probably are, by their names and the days in them. For a person to confirm."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice

from players.files.csv_format import (
    HOLE_NUMBER,
    PICKED_UP,
    ROUND_COLUMNS,
    SHOT_COLUMNS,
    WITHOUT_SHOTS,
)
from players.files.incoming.dialect import DateOrder, order_of
from players.files.incoming.parsing import DISTANCE_UNIT, HOLE, REQUIRED, Cells
from players.files.models import ImportKind

LOOKED_AT = 200
"""Lines whose days are looked at."""

WORDS: Mapping[str, tuple[str, ...]] = {
    "player": ("golfer", "name", "playername", "who"),
    "course": ("coursename", "where", "venue"),
    "tee": ("tees", "teename", "teeset", "teecolour", "teecolor"),
    "played_on": ("date", "day", "playedon", "dateplayed", "rounddate", "when"),
    "start_time": ("time", "teetime", "start"),
    "section": ("nine", "holes"),
    "counting": ("counts", "forhandicap"),
    "competition": ("tournament", "event"),
    "temperature_c": ("temperature", "temp"),
    "wind_mph": ("windspeed",),
    "note": ("notes", "comment", "comments", "remarks"),
    PICKED_UP: ("pickedup", "pickup", "noreturn"),
    HOLE_NUMBER: ("holenumber", "holeno", "no"),
    "hole_score": ("score", "strokes"),
    "lie": ("from", "liebefore", "startlie"),
    "distance": ("distancetohole", "tohole", "distancebefore", "startdistance", "remaining"),
    DISTANCE_UNIT: ("unitofdistance",),
    "penalty_strokes": ("penalty", "penalties"),
    "target_distance": ("target", "intended"),
    "travel": ("carry", "length", "went"),
    "offline": ("off", "side"),
}
"""What others call our columns, without spaces and marks."""
OF_HOLES: Mapping[str, tuple[str, ...]] = {
    "putts": ("putt", "p"),
    "penalties": ("pen",),
    "fairway_hit": ("fairway", "fw", "fir"),
    "green_in_regulation": ("gir", "green"),
    "score": ("score", "strokes", "hole", "h", "s", "gross", ""),
}
"""How the names of numbered columns begin or go on, tried in this order."""


@dataclass(frozen=True)
class Guess:
    """What a file seems to hold."""

    kind: ImportKind
    columns: dict[str, str]
    """Name of the file's column for each of ours, as the import takes it."""
    dates: DateOrder | None
    """None where the days may be written in several ways."""
    days: list[str]
    """Some of them, to see which way."""
    not_taken: list[str] = field(default_factory=list)
    """Columns of the file that are none of ours."""
    missing: list[str] = field(default_factory=list)
    """Columns of ours that are needed and were not found: constants, or columns under other names."""


def guess(cells: Cells) -> Guess:
    """From the header and the first lines."""
    header = cells.header
    holes = dict(_of_holes(header))
    kind = ImportKind.SCORES if "score" in holes else ImportKind.SHOTS
    columns = dict(_plain(header, kind)) | (holes if kind == ImportKind.SCORES else {})
    days = [] if "played_on" not in columns else _days(cells, header.index(columns["played_on"]))
    taken = {name.replace(HOLE, str(hole)) for name in columns.values() for hole in range(1, 19)}
    return Guess(
        kind=kind,
        columns=columns,
        dates=order_of(days),
        days=days[:3],
        not_taken=[name for name in header if name not in taken],
        missing=[name for name in REQUIRED[kind] if name not in columns],
    )


def _plain(header: Sequence[str], kind: ImportKind) -> Iterator[tuple[str, str]]:
    """Our columns that stand for themselves, each with the first of the file's that is called so."""
    ours = [*ROUND_COLUMNS, PICKED_UP]
    if kind == ImportKind.SHOTS:
        ours += ["round", "unit", HOLE_NUMBER, "hole_score", *WITHOUT_SHOTS, *SHOT_COLUMNS, DISTANCE_UNIT]
    left = dict.fromkeys(header)
    for name in ours:
        called = (_bare(name), *WORDS.get(name, ()))
        column = next((one for word in called for one in left if _bare(one) == word), None)
        if column is not None:
            del left[column]
            yield name, column


def _of_holes(header: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Our columns of every hole, each with the name of the file's where {n} stands for the number."""
    numbers: dict[str, set[int]] = defaultdict(set)
    for name in header:
        for digits in re.finditer(r"(?<!\d)(1[0-8]|[1-9])(?!\d)", name):
            numbers[name[: digits.start()] + HOLE + name[digits.end() :]].add(int(digits[0]))
    patterns = [
        one for one, known in numbers.items() if known >= set(range(1, 10)) or known >= set(range(10, 19))
    ]
    for name, words in OF_HOLES.items():
        column = next((one for word in words for one in patterns if _is_called(one, word)), None)
        if column is not None:
            patterns.remove(column)
            yield name, column


def _is_called(pattern: str, word: str) -> bool:
    bare = _bare(pattern.replace(HOLE, ""))
    return bare == word or (len(word) > 1 and (bare.startswith(word) or bare.endswith((word, f"{word}s"))))


def _days(cells: Cells, place: int) -> list[str]:
    lines = islice(cells.lines(), LOOKED_AT)
    return [line[place].strip() for _, line in lines if place < len(line) and line[place].strip()]


def _bare(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name.lower())
