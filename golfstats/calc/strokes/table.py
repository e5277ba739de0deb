"""The published professional table: average strokes to hole out by lie and distance.

The figures are data (``professional.csv``), each row with where it comes from. Its ``confidence``
is ``read`` (seen in a text), ``memory`` (from memory, not yet checked against the paper) or
``extension`` (ours: it carries the table on to 0 and to 650 yards).
"""

from __future__ import annotations

import csv
import hashlib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence


@dataclass(frozen=True, slots=True)
class TableRow:
    lie: Lie
    yards: float
    strokes: float
    confidence: str
    provenance: str


@cache
def professional_rows() -> tuple[TableRow, ...]:
    """Every row of the professional table, distances in yards (putts too)."""
    text = resources.files(__package__).joinpath("professional.csv").read_text(encoding="utf-8")
    return tuple(
        TableRow(
            lie=Lie.of(row["lie"]),
            yards=float(row["distance"]) / (FEET_PER_YARD if row["unit"] == "ft" else 1.0),
            strokes=float(row["strokes"]),
            confidence=row["confidence"],
            provenance=row["provenance"],
        )
        for row in csv.DictReader(text.splitlines())
    )


@cache
def professional_edition() -> str:
    """Names this very table: another one as soon as any of its rows is."""
    return hashlib.sha256(repr(professional_rows()).encode()).hexdigest()[:8]


@cache
def professional_provenance() -> str:
    """Where the table comes from, with the number of rows of each confidence: shown wherever it is used."""
    confidences = [row.confidence for row in professional_rows()]
    return Sentence(
        "Professional benchmark after M. Broadie, Interfaces 42(2), 2012, and Every Shot Counts, 2014. Of {rows} rows "
        "{read} were read in a text, {memory} are from memory and not yet checked against the paper, and {extension} "
        "carry the table on to 0 and to 650 yards.",
        rows=len(confidences),
        read=confidences.count("read"),
        memory=confidences.count("memory"),
        extension=confidences.count("extension"),
    )


@cache
def off_green_memory() -> tuple[int, int]:
    """How many rows off the green are from memory, and how many rows there are off the green."""
    off_green = [row.confidence for row in professional_rows() if row.lie != Lie.GREEN]
    return off_green.count("memory"), len(off_green)
