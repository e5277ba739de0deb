"""The tables that people take along into notebooks and spreadsheets.

Each is declared once, as the class of its lines: CSV, JSON, Parquet and the data dictionary are made from that.
"""

from __future__ import annotations

import datetime as dt
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from enum import Enum, StrEnum
from functools import cache
from typing import Annotated, Any
from uuid import UUID

from courses.layout.models import Section
from golfstats.calc import vocabulary
from golfstats.calc.figures.catalogue import CATALOGUE
from golfstats.calc.units import Unit
from golfstats.ground.answers import OneOf, field_meanings, value_meanings
from golfstats.ground.clubs.models import DistanceUnit
from players.rounds.models import RoundFormat

SHORT: Mapping[str, str] = {DistanceUnit.YARDS: "yd", DistanceUnit.METRES: "m"}


@dataclass(frozen=True)
class In:
    """Marks a column with its unit. Lengths have that of the whole table, so they are marked with :data:`LENGTH`."""

    unit: str


LENGTH = In("the table's")
STROKES = In("strokes")
Length = Annotated[float | None, LENGTH]
Strokes = Annotated[float | None, STROKES]


@dataclass(frozen=True, kw_only=True)
class RoundFacts:
    """What is known of a whole round: it stands on each line of it."""

    round: UUID
    player: str
    course: str
    tee: str
    played_on: dt.date
    """Local date at the course."""
    start_time: dt.time | None
    """Local time at the course."""
    section: Section
    """What the player set out to play: 18 holes, or one nine."""
    format: RoundFormat
    counting: bool
    """To be counted for handicap if it is acceptable."""
    competition: bool
    reason_for_missing_holes: str
    ball: str
    """Name of the ball that was played."""
    weather: str
    temperature_c: Annotated[float | None, In("°C")]
    wind_mph: Annotated[float | None, In("miles an hour")]
    greens_found: str
    """The greens in the player's words, as in "cored 7 days, slow, bumpy 4"."""
    tags: list[str]
    note: str
    """What the player wrote beside the round."""
    player_id: UUID
    course_id: UUID
    unit: DistanceUnit
    """Of all lengths of the line."""
    benchmark: str | None
    """Key of the golfer that strokes gained compare with; nothing before the analysis."""
    benchmark_version: str | None
    """Which golfer exactly, and which edition of the figures behind them. Strokes gained of different versions do
    not add up.
    """
    surface_disturbance: Annotated[float | None, In("share")]
    """State of the greens, mean over the holes played: 0 undisturbed, 1 just cored."""
    surface_version: str | None
    """When what the surface accounts for was last fitted to the club's putts; nothing where it never was."""


@dataclass(frozen=True, kw_only=True)
class RoundLine(RoundFacts):
    """A round a line."""

    holes_played: int
    score: Annotated[int, STROKES]
    """Strokes and penalty strokes over the holes played."""
    par: Annotated[int | None, STROKES]
    """Of the holes played; nothing where a hole has no par for the player."""
    holes_covered: int | None
    """Holes with every shot recorded: those that strokes gained are of."""
    gained_total: Strokes
    """Strokes gained over the holes covered."""
    gained_tee: Strokes
    gained_approach: Strokes
    gained_short_game: Strokes
    gained_putting: Strokes
    putts: int | None
    surface_strokes: Strokes
    """Part of ``gained_putting`` that the surface is estimated to account for; negative is a cost."""
    surface_low: Strokes
    """Lower end of its 90% interval."""
    surface_high: Strokes
    """Upper end of its 90% interval."""


@dataclass(frozen=True, kw_only=True)
class HoleFacts(RoundFacts):
    """What is known of a whole hole: it stands on each line of it."""

    hole: int
    par: Annotated[int | None, STROKES]
    """Of the hole, for the player."""
    hole_length: Length
    """From the tee."""
    hole_score: Annotated[int, STROKES]
    """Strokes with penalties; the most likely score where the ball was picked up."""
    picked_up: bool
    """The ball was picked up on this hole."""


@dataclass(frozen=True, kw_only=True)
class ShotLine(HoleFacts):
    """A shot a line."""

    shot_id: UUID
    shot: int
    """Number of the shot on its hole."""
    lie: Annotated[str, OneOf(vocabulary.Lie)]
    """Where the ball lay before the shot."""
    distance: Annotated[float, LENGTH]
    """To the hole before the shot, on the green too."""
    distance_unit: Annotated[str, OneOf(Unit, "LineUnit", ("yd", "m"))]
    """Of ``distance``: on the green too, where a round that is posted has feet beside yards."""
    club: str | None
    holed: bool
    penalty_strokes: Annotated[int, STROKES]
    penalty_kind: Annotated[str, OneOf(vocabulary.PenaltyKind)] | None
    target_distance: Length
    travel: Length
    offline: Length
    miss_side: Annotated[str, OneOf(vocabulary.MissSide)] | None
    miss_depth: Annotated[str, OneOf(vocabulary.MissDepth)] | None
    short_sided: bool | None
    lie_quality: Annotated[str, OneOf(vocabulary.LieQuality)] | None
    swing: Annotated[str, OneOf(vocabulary.Swing)] | None
    wind: Annotated[str, OneOf(vocabulary.Wind)] | None
    shot_wind_mph: Annotated[float | None, In("miles an hour")]
    elevation: Length
    slope: Annotated[str, OneOf(vocabulary.Slope)] | None
    putt_break: Annotated[str, OneOf(vocabulary.PuttBreak)] | None
    fault: Annotated[str, OneOf(vocabulary.PuttFault)] | None
    """What the player holds responsible for a missed putt."""
    shot_tags: list[str]
    part: Annotated[str, OneOf(vocabulary.Part)] | None
    """Part of the game that the shot belongs to."""
    expected_before: Strokes
    """That the benchmark needs from where the shot was played."""
    expected_after: Strokes
    """That the benchmark needs from where it finished."""
    strokes_gained: Strokes


@dataclass(frozen=True, kw_only=True)
class FigureLine:
    """A figure of a round a line. The figures of clubs, which need many rounds, are not among them."""

    round: UUID
    player_id: UUID
    player: str
    course_id: UUID
    course: str
    played_on: dt.date
    """Local date at the course."""
    key: str
    """Which figure; the data dictionary names those of the usual distance bands."""
    value: float
    """Mean of its observations in the round, or their median. In the unit of ``unit``."""
    unit: Unit
    """Of ``value``. One figure has one unit throughout."""
    n: int
    """How many shots, holes or rounds the value rests on: weigh by it."""
    benchmark: str
    """Key of the golfer that strokes gained compare with, as of today."""
    benchmark_version: str
    """Which golfer exactly, and which edition of the figures behind them."""


TABLES: dict[str, type] = {"rounds": RoundLine, "shots": ShotLine, "figures": FigureLine}


@dataclass(frozen=True)
class Code:
    """A word that a column may hold."""

    code: str
    """The word."""
    meaning: str
    """What it stands for."""


class Holding(StrEnum):
    """What a column holds, and how it is written in CSV and JSON."""

    TEXT = "text"
    """Text, an id or a code."""
    WHOLE_NUMBER = "whole number"
    """A number without decimals."""
    NUMBER = "number"
    """A number with a decimal point."""
    YES_OR_NO = "yes or no"
    """`true` or `false` in JSON, `yes` or `no` in CSV."""
    DAY = "day"
    """2026-06-14."""
    TIME_OF_DAY = "time of day"
    """09:30:00, by the clock at the course."""
    TEXTS = "list of text"
    """Several words: an array in JSON, with blanks between in CSV."""


@dataclass(frozen=True)
class TableColumn:
    """A column of a table that can be taken along."""

    name: str
    """As in the table's head."""
    type: Annotated[str, OneOf(Holding)]
    """What it holds."""
    unit: str | None
    """Nothing for what is no measure."""
    may_be_missing: bool
    """Some lines may have nothing there."""
    meaning: str
    """What it tells, in words."""
    codes: list[Code]
    """The only words that it holds; none where it holds others."""


_TYPES: dict[type, Holding] = {
    UUID: Holding.TEXT,
    str: Holding.TEXT,
    int: Holding.WHOLE_NUMBER,
    float: Holding.NUMBER,
    bool: Holding.YES_OR_NO,
    dt.date: Holding.DAY,
    dt.time: Holding.TIME_OF_DAY,
    list: Holding.TEXTS,
}


@cache
def columns_of(table: type, unit: str) -> tuple[TableColumn, ...]:
    """The columns of a table whose lengths are in this unit."""
    hints, meanings = typing.get_type_hints(table, include_extras=True), field_meanings(table)
    return tuple(
        _column(one.name, hints[one.name], meanings.get(one.name, ""), unit) for one in fields(table)
    )


def _column(name: str, hint: Any, meaning: str, unit: str) -> TableColumn:
    marks = list(_marks(hint))
    kinds = [kind for kind in _kinds(hint) if kind is not type(None)]
    own_unit = next((mark.unit for mark in marks if isinstance(mark, In)), None)
    return TableColumn(
        name=name,
        type=_TYPES.get(kinds[0], Holding.TEXT),
        unit=SHORT[unit] if own_unit == LENGTH.unit else own_unit,
        may_be_missing=type(None) in _kinds(hint),
        meaning=meaning or name.replace("_", " ").capitalize() + ".",
        codes=_figure_keys() if name == "key" else _codes(hint, marks),
    )


def _marks(hint: Any) -> Iterator[Any]:
    """What the annotation and those within it are marked with."""
    if typing.get_origin(hint) is Annotated:
        yield from hint.__metadata__
    if typing.get_origin(hint) in (Annotated, typing.Union, types.UnionType):
        for inner in typing.get_args(hint):
            yield from _marks(inner)


def _kinds(hint: Any) -> list[Any]:
    """The plain types that a value may have."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is Annotated:
        return _kinds(inner[0])
    if origin in (typing.Union, types.UnionType):
        return [kind for one in inner for kind in _kinds(one)]
    return [origin or hint]


def _codes(hint: Any, marks: list[Any]) -> list[Code]:
    if isinstance(hint, type) and issubclass(hint, Enum):
        meanings: Mapping[str, str] = value_meanings(hint)
    else:
        meanings = next((mark.meanings for mark in marks if isinstance(mark, OneOf)), {})
    return [Code(word, meaning) for word, meaning in meanings.items()]


def _figure_keys() -> list[Code]:
    return [
        Code(spec.key, f"{spec.words} ({spec.unit}, {spec.better} is better): {spec.meaning}")
        for spec in CATALOGUE.values()
    ]
