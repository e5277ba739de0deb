"""Reading CSV files of rounds: which cells make which round, and where each fault of a round lies in the file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import Any

from pydantic import ValidationError

from golfstats.calc.units import FEET_PER_YARD, YARDS_PER_METRE
from golfstats.calc.vocabulary import Lie
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.inputs import faults_of
from golfstats.sentences import Sentence
from players.files.csv_format import (
    HOLE_NUMBER,
    HOLES_COLUMNS,
    LISTS,
    OF_HOLE,
    PICKED_UP,
    ROUND_COLUMNS,
    SHOT_COLUMNS,
    WITHOUT_SHOTS,
    numbered,
    plain_text,
)
from players.files.incoming.dialect import DateOrder, day_of, delimiter_of, no_day_words, point_for_comma
from players.files.models import ImportKind
from players.rounds.fields import SHOT_FIELDS, Kind, from_yards
from players.rounds.input import RoundInput

HOLE = "{n}"
"""In the name of a file's column: the number of the hole, as in ``Hole {n}``."""

DISTANCE_UNIT = "distance_unit"
"""Of a single distance to the hole. Without it lines in yards have feet on the green."""
YARDS_IN = {"yd": 1.0, "ft": 1.0 / FEET_PER_YARD, "m": YARDS_PER_METRE}

NUMBERS = {
    "temperature_c",
    "wind_mph",
    *(one.in_file for one in SHOT_FIELDS if one.kind in (Kind.DISTANCE, Kind.LENGTH, Kind.NUMBER)),
}
"""Columns whose cells may have a decimal comma."""

REQUIRED = {
    ImportKind.SCORES: ("course", "tee", "played_on"),
    ImportKind.SHOTS: ("course", "tee", "played_on", HOLE_NUMBER, "lie", "distance"),
}
_HOLE_FIELDS = OF_HOLE | WITHOUT_SHOTS
PER_HOLE = {ImportKind.SCORES: HOLES_COLUMNS, ImportKind.SHOTS: ()}
PLAIN = {
    ImportKind.SCORES: (*ROUND_COLUMNS, PICKED_UP),
    ImportKind.SHOTS: (
        "round",
        *ROUND_COLUMNS,
        "unit",
        HOLE_NUMBER,
        *_HOLE_FIELDS,
        *SHOT_COLUMNS,
        DISTANCE_UNIT,
    ),
}


@dataclass(frozen=True)
class Layout:
    """Which column of the file holds what."""

    kind: ImportKind
    columns: Mapping[str, str] = field(default_factory=dict)
    """Name of the file's column for each of ours that is called otherwise there; per-hole ones with ``{n}``."""
    constants: Mapping[str, str] = field(default_factory=dict)
    """Values of ours that the file does not hold, such as the course."""
    dates: str = DateOrder.YEAR_FIRST
    """In which order the file writes days."""


@dataclass(frozen=True)
class Line:
    """A line of the file by our names; ``number`` is where it begins in the file."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class FileRound:
    """A round of the file: the body it amounts to, and the lines of its holes and shots."""

    line: int
    body: dict[str, Any]
    shot_lines: Mapping[tuple[int, int], int] = field(default_factory=dict)
    """By place of the hole and place of the shot in the body."""
    distance_units: Mapping[tuple[int, int], str] = field(default_factory=dict)
    """Of the distances to the hole that have one of their own, likewise."""
    no_day: str = ""
    """Why its day is none."""


class Cells:
    """A file as cells. Raises a 422 problem where it is, or stops being, no CSV."""

    def __init__(self, text: str) -> None:
        self.delimiter = delimiter_of(text)
        self._reader = csv.reader(io.StringIO(text, newline=""), delimiter=self.delimiter, strict=True)
        try:
            header = next(self._reader, [])
        except csv.Error as error:
            raise invalid(
                [Fault("/file", "not_csv", _no_csv_words(error), line=1)], Sentence("The file is not CSV")
            ) from None
        self.header = [name.strip() for name in header]

    def lines(self) -> Iterator[tuple[int, list[str]]]:
        """Each line that is not empty, and where it begins in the file."""
        begins = self._reader.line_num + 1
        try:
            for cells in self._reader:
                number, begins = begins, self._reader.line_num + 1
                if not any(cell.strip() for cell in cells):
                    continue
                if len(cells) != len(self.header):
                    detail = Sentence(
                        "{cells} cells where the header has {header}",
                        cells=len(cells),
                        header=len(self.header),
                    )
                    raise invalid([Fault("", "wrong_number_of_cells", detail, line=number)], _BROKEN)
                yield number, cells
        except csv.Error as error:
            raise invalid([Fault("", "not_csv", _no_csv_words(error), line=begins)], _BROKEN) from None


def _no_csv_words(error: csv.Error) -> Sentence:
    """Of what the library says, in English, only which of its reasons it is."""
    reason = str(error)
    if reason.startswith("unexpected end"):
        return Sentence("a quotation mark opens a cell and none closes it")
    if "expected after" in reason:
        return Sentence(
            "after the quotation mark that closes a cell comes neither a delimiter nor a new line"
        )
    if "field limit" in reason:
        return Sentence("a cell is longer than {most} characters", most=f"{csv.field_size_limit():,}")
    return Sentence("this line is not written as CSV is")


class FileReader:
    """Reads one file. Raises a 422 problem for a file that is no CSV or lacks a column."""

    def __init__(self, text: str, layout: Layout) -> None:
        self.layout = layout
        self._cells = Cells(text)
        self._header = self._cells.header
        self._place = self._places(self._header)

    def _places(self, header: Sequence[str]) -> dict[str, int]:
        """Place in a line of each of our columns that the file has."""
        kind, given = self.layout.kind, self.layout.columns
        wanted = {name: given.get(name, name) for name in PLAIN[kind]}
        for column in PER_HOLE[kind]:
            pattern = given.get(column, numbered(column, 0)[:-1] + HOLE)
            wanted |= {numbered(column, hole): pattern.replace(HOLE, str(hole)) for hole in range(1, 19)}
        places = {name: header.index(theirs) for name, theirs in wanted.items() if theirs in header}
        faults = [*self._unknown_names(), *self._missing(header, places), *_twice(header, places)]
        if faults:
            raise invalid(faults, Sentence("The columns do not fit"))
        return places

    def _unknown_names(self) -> Iterator[Fault]:
        known = {*PLAIN[self.layout.kind], *PER_HOLE[self.layout.kind]}
        for given, where in ((self.layout.columns, "columns"), (self.layout.constants, "constants")):
            for name in sorted(set(given) - known):
                detail = Sentence("known are: {known}", known=", ".join(sorted(known)))
                yield Fault(f"/{where}/{name}", "unknown_column", detail)

    def _missing(self, header: Sequence[str], places: Mapping[str, int]) -> Iterator[Fault]:
        """Columns that were named or are needed and that the file does not have."""
        for name, theirs in self.layout.columns.items():
            first = theirs.replace(HOLE, "1")
            if not any(theirs.replace(HOLE, str(hole)) in header for hole in range(1, 19)):
                yield Fault(
                    f"/columns/{name}",
                    "no_such_column",
                    Sentence("the file has no column {first}", first=repr(first)),
                )
        for name in REQUIRED[self.layout.kind]:
            if name not in places and name not in self.layout.constants and name not in self.layout.columns:
                yield Fault(
                    f"/columns/{name}",
                    "column_missing",
                    Sentence("the file has no column {name}", name=repr(name)),
                )
        if self.layout.kind == ImportKind.SCORES and not any(name.startswith("score_") for name in places):
            yield Fault(
                "/columns/score",
                "column_missing",
                Sentence("the file has no column with the score of a hole"),
            )

    def count(self) -> int:
        """How many rounds. A 422 problem where the file stops being CSV."""
        if self.layout.kind == ImportKind.SCORES:
            return sum(1 for _ in self._cells.lines())
        return sum(1 for _ in self.rounds())

    def rounds(self, first: int = 0) -> Iterator[FileRound]:
        """The rounds in the order of the file but the first ones. A 422 problem where the file stops being CSV."""
        if self.layout.kind == ImportKind.SCORES:
            yield from (_of_scores(line, self.layout.dates) for line in self._lines(first))
            return
        groups: dict[tuple[str, ...], list[Line]] = {}
        for line in self._lines():
            key = tuple(line.cells.get(name, "") for name in _ONE_ROUND)
            groups.setdefault(key, []).append(line)
        yield from (_of_shots(lines, self.layout.dates) for lines in islice(groups.values(), first, None))

    def _lines(self, first: int = 0) -> Iterator[Line]:
        for number, cells in islice(self._cells.lines(), first, None):
            known = {name: plain_text(cells[place].strip()) for name, place in self._place.items()}
            given = {**self.layout.constants, **{name: cell for name, cell in known.items() if cell}}
            yield Line(number, {name: _readable(name, cell) for name, cell in given.items()})

    def column_of(self, name: str) -> tuple[int, str] | None:
        """Number and name of the file's column that holds one of ours, the first being 1."""
        place = self._place.get(name)
        return None if place is None else (place + 1, self._header[place])


def _twice(header: Sequence[str], places: Mapping[str, int]) -> Iterator[Fault]:
    """Columns of one name: nobody can tell which of them is meant."""
    for name, place in places.items():
        if header.count(header[place]) > 1:
            detail = Sentence("the file has several columns {name}", name=repr(header[place]))
            yield Fault(f"/columns/{name}", "column_twice", detail)


_BROKEN = Sentence("The file is broken")
_ONE_ROUND = ("round", "player", "course", "tee", "played_on", "start_time")
"""Lines of shots that agree in these belong to one round."""


def _round_fields(line: Line, dates: str) -> tuple[dict[str, Any], str]:
    """Of the body; and why the day is none."""
    fields: dict[str, Any] = {
        name: line.cells[name] for name in (*ROUND_COLUMNS, "unit") if name in line.cells
    }
    if "tags" in fields:
        fields["tags"] = fields["tags"].split()
    if "played_on" not in fields:
        return fields, ""
    cell = fields["played_on"]
    day = day_of(cell, dates)
    # What is no day is left for the check of the round, where one in another order would be taken for a day.
    fields["played_on"] = f"{cell}?" if day is None else day
    return fields, no_day_words(cell, dates) if day is None else ""


def _readable(name: str, cell: str) -> str:
    return point_for_comma(cell) if name in NUMBERS else cell


def _of_scores(line: Line, dates: str) -> FileRound:
    picked_up = set(line.cells.get(PICKED_UP, "").split())
    holes = []
    for number in range(1, 19):
        cells = {column: line.cells.get(numbered(column, number)) for column in HOLES_COLUMNS}
        known = {column: cell for column, cell in cells.items() if cell}
        if known:
            holes.append({"number": number, **known, "picked_up": str(number) in picked_up})
    fields, no_day = _round_fields(line, dates)
    return FileRound(line.number, fields | {"holes": holes}, no_day=no_day)


def _of_shots(lines: Sequence[Line], dates: str) -> FileRound:
    holes: dict[str, dict[str, Any]] = {}
    places: dict[str, int] = {}
    shot_lines, units = {}, {}
    for line in lines:
        number = line.cells.get(HOLE_NUMBER, "")
        hole = holes.setdefault(number, {"number": _hole_number(number), "shots": []})
        hole |= {ours: line.cells[column] for column, ours in _HOLE_FIELDS.items() if column in line.cells}
        place = places.setdefault(number, len(places)), len(hole["shots"])
        shot_lines[place] = line.number
        shot = _shot(line)
        if not shot:
            continue  # a hole of which the shots are not known
        if DISTANCE_UNIT in line.cells:
            units[place] = line.cells[DISTANCE_UNIT]
        hole["shots"].append(shot)
    fields, no_day = _round_fields(lines[0], dates)
    fields["holes"] = list(holes.values())
    return FileRound(lines[0].number, fields, shot_lines, units, no_day)


def _hole_number(cell: str) -> int | str:
    """As a number, so that faults name the hole; what is none, or has too many digits, the check refuses."""
    return int(cell) if cell.isdecimal() and len(cell) <= 4 else cell


def _shot(line: Line) -> dict[str, Any]:
    shot: dict[str, Any] = {}
    for column, name in SHOT_COLUMNS.items():
        if column in line.cells:
            cell = line.cells[column]
            shot[name] = cell.split() if column in LISTS else cell
    return shot


def as_posted(of_file: FileRound, unit: str) -> tuple[RoundInput | None, list[Fault]]:
    """The round as it would be posted, or what its cells lack. ``unit`` is that of lines that name none."""
    body = {"unit": unit} | of_file.body
    faults = [fault for place in of_file.distance_units if (fault := _convert(of_file, place, body["unit"]))]
    if faults:
        return None, faults
    try:
        return RoundInput.model_validate(body), []
    except ValidationError as error:
        return None, [_of_the_day(fault, of_file) for fault in faults_of(error, body)]


def _of_the_day(fault: Fault, of_file: FileRound) -> Fault:
    """What is wrong with a day said by how the file writes days."""
    if fault.pointer != "/played_on" or not of_file.no_day:
        return fault
    return replace(fault, code="not_a_day", detail=of_file.no_day)


def _convert(of_file: FileRound, place: tuple[int, int], unit: str) -> Fault | None:
    """Put the distance of a shot, which has a unit of its own, into the unit that a posted one has."""
    hole, shot = place
    given, own = of_file.body["holes"][hole]["shots"][shot], of_file.distance_units[place]
    pointer = f"/holes/{hole}/shots/{shot}/{DISTANCE_UNIT}"
    if own not in YARDS_IN:
        return Fault(
            pointer,
            "unknown_unit",
            Sentence("{own} is none of {yards_in}", own=repr(own), yards_in=", ".join(YARDS_IN)),
        )
    try:
        yards = float(given["distance"]) * YARDS_IN[own]
    except (KeyError, ValueError):
        return None  # the check of the round says so
    given["distance"] = from_yards(yards, unit, on_green=given.get("lie") == Lie.GREEN.word)
    return None


def in_file(fault: Fault, of_file: FileRound, reader: FileReader) -> Fault:
    """The fault of a round with its place in the file: line, column, and the column's name as pointer."""
    steps = fault.pointer.strip("/").split("/")
    name, line = _place_of(steps, of_file)
    column = None if name is None else reader.column_of(name)
    if column is None:
        pointer = fault.pointer if name is None else f"/{name}"
        return Fault(pointer, fault.code, fault.detail, fault.hole, fault.shot, line=line)
    number, theirs = column
    return Fault(f"/{theirs}", fault.code, fault.detail, fault.hole, fault.shot, line=line, column=number)


def _place_of(steps: Sequence[str], of_file: FileRound) -> tuple[str | None, int]:
    """Our column and the line that a pointer into the round's body means."""
    if steps[0] != "holes":
        return steps[0] or None, of_file.line
    if len(steps) < 2:
        return None, of_file.line
    place = int(steps[1])
    if len(steps) > 3 and steps[2] == "shots":
        line = of_file.shot_lines.get((place, int(steps[3])), of_file.line)
        taken = {name: column for column, name in SHOT_COLUMNS.items()}
        return (taken.get(steps[4], steps[4]) if len(steps) > 4 else None), line
    line = of_file.shot_lines.get((place, 0), of_file.line)
    if of_file.shot_lines:
        names = {field: column for column, field in _HOLE_FIELDS.items()} | {"number": HOLE_NUMBER}
        return names.get(steps[2]) if len(steps) > 2 else None, line
    number = of_file.body["holes"][place]["number"]
    return numbered(steps[2], number) if len(steps) > 2 else numbered("score", number), line
