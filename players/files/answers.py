"""What is told of imports."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from golfstats.ground.answers import class_meaning, up_to
from golfstats.ground.faults import Fault
from golfstats.ground.operations import Asker
from golfstats.sentences import from_kept
from players.files import models
from players.files.incoming.dialect import DateOrder, Encoding, text_of
from players.files.incoming.guessing import guess
from players.files.incoming.parsing import Cells
from players.files.incoming.taken_along import csv_of
from players.files.models import ImportKind, ImportState
from players.files.outgoing.tables import TABLES, TableColumn, columns_of
from players.files.services import FAULTS_KEPT, Findings, Placed
from players.rounds.checking.warnings import WarningCode


@dataclass(frozen=True)
class FaultInFile(Fault):
    """What is wrong, and where: in the file, and on which hole and shot."""

    pointer: str
    """Name of the file's column, as a JSON pointer."""
    column: int | None = None
    """Number of the column; the first is 1."""


@dataclass(frozen=True)
class WarningInFile:
    """What looks wrong but may be right, and where: in the file, and on which hole and shot."""

    pointer: str
    """Name of the file's column, as a JSON pointer."""
    code: WarningCode
    """Name for programs."""
    words: str
    said: str
    """The value in question."""
    did_you_mean: str
    """What was perhaps meant; empty where nothing suggests itself."""
    hole: int | None
    shot: int | None
    line: int | None
    """Number of the line in the file; null where it is not about one."""
    column: int | None
    """Number of the column; the first is 1."""


@dataclass(frozen=True, kw_only=True)
class Import:
    """A file of rounds on its way in."""

    id: UUID
    kind: ImportKind
    """What kind of file it is."""
    state: ImportState
    """How far it is."""
    rounds: int
    """Rounds in the file."""
    checked: int
    """Rounds read so far."""
    added: int
    """Rounds added so far."""
    already_there: int
    """Rounds that had been there before."""
    faults: list[FaultInFile] = up_to(20)
    """What is wrong with the file."""
    reason: str
    """Why it failed."""
    started_at: dt.datetime
    finished_at: dt.datetime | None


@dataclass(frozen=True)
class ImportFindings:
    """What a look at a file has found; nothing was saved."""

    rounds: int
    """Rounds in the file."""
    new: int
    """Rounds that are not here yet."""
    already_there: int
    """Rounds that are here already, and would not be made again."""
    faults: list[FaultInFile] = field(default_factory=list)
    """What keeps the file from being imported."""
    warnings: list[WarningInFile] = field(default_factory=list)
    """Saved with the rounds when they are imported."""


@dataclass(frozen=True)
class GuessedColumn:
    """One of our columns, and which of the file's it seems to be."""

    ours: str
    """Name of our column."""
    theirs: str
    """Its name in the file; for columns of every hole with {n}."""


@dataclass(frozen=True)
class ImportGuess:
    """How a file is written and what its columns seem to be: to be looked at, and sent with the file if right."""

    encoding: Encoding
    """In which encoding its text is written."""
    delimiter: str
    """What stands between cells."""
    kind: ImportKind
    """Whether a line is a round, a hole or a shot."""
    columns: list[GuessedColumn] = up_to(40)
    """In the order of ours."""
    dates: DateOrder | None = None
    """In which order days are written; null where the days found could be read in several ways, or there are none."""
    days: list[str] = field(default_factory=list)
    """Some days of the file as they are written."""
    not_taken: list[str] = field(default_factory=list)
    """Columns of the file that seem to be none of ours."""
    missing: list[str] = field(default_factory=list)
    """Columns of ours that an import needs and that were not found: name them, or give constants."""


def guess_of(file: bytes) -> ImportGuess:
    text, encoding = text_of(csv_of(file, ImportKind.SHOTS))
    cells = Cells(text)
    layout = guess(cells)
    columns = [GuessedColumn(ours, theirs) for ours, theirs in layout.columns.items()]
    return ImportGuess(
        encoding,
        cells.delimiter,
        layout.kind,
        columns,
        layout.dates,
        layout.days,
        layout.not_taken,
        layout.missing,
    )


@dataclass(frozen=True)
class ExportTable:
    """A table that can be taken along."""

    name: str
    """Name of the file."""
    meaning: str
    """What a line is."""
    columns: list[TableColumn] = up_to(60)
    """In their order."""


@dataclass(frozen=True)
class DataDictionary:
    """What the columns of the exports mean, generated from the declarations that write them."""

    results: list[ExportTable] = up_to(3)
    """One for each export."""


def dictionary(unit: str) -> DataDictionary:
    """With lengths in this unit."""
    return DataDictionary(
        [
            ExportTable(name, class_meaning(table), list(columns_of(table, unit)))
            for name, table in TABLES.items()
        ]
    )


def import_heads(_: Asker, imports: Sequence[models.Import]) -> list[Import]:
    return [
        Import(
            id=row.id,
            kind=ImportKind(row.kind),
            state=ImportState(row.state),
            rounds=row.rounds,
            checked=row.checked,
            added=row.added,
            already_there=row.already_there,
            faults=faults_in_file(row.faults),
            reason=row.reason,
            started_at=row.started_at,
            finished_at=row.finished_at,
        )
        for row in imports
    ]


def findings_of(findings: Findings) -> ImportFindings:
    faults = [FaultInFile(**vars(fault)) for fault in findings.faults[:FAULTS_KEPT]]
    warnings = [_warning(one) for one in findings.warnings[:FAULTS_KEPT]]
    return ImportFindings(findings.rounds, len(findings.new), findings.already_there, faults, warnings)


def _warning(placed: Placed) -> WarningInFile:
    warned, place = placed.warned, placed.place
    return WarningInFile(
        place.pointer,
        warned.code,
        warned.words,
        warned.said,
        warned.did_you_mean,
        warned.hole,
        warned.shot,
        place.line,
        place.column,
    )


def faults_in_file(kept: Iterable[Mapping[str, Any]]) -> list[FaultInFile]:
    """What an import wrote down, its words sentences again; of imports before those were kept, as they are."""
    return [
        FaultInFile(**{name: value for name, value in one.items() if name != "sentence"} | _words_of(one))
        for one in kept
    ]


def _words_of(kept: Mapping[str, Any]) -> dict[str, str]:
    return {"detail": from_kept(kept["sentence"])} if "sentence" in kept else {}
