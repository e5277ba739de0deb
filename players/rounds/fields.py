"""The one table of what can be said of a shot. A new optional field is a line here.

From it come the body that is posted, the column that is stored, the array that is computed with, the words of
the notation and what an import reads. By hand remain what it means (``ground.meanings``), the column of ``models.Shot``
(with its migration), the array of ``calc.record.Shots``, the answers ``ShotAsPosted`` and ``ShotLine`` and, for new
words, their vocabulary.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Annotated, Any

from pydantic import Field

from golfstats.calc.units import FEET_PER_YARD, YARDS_PER_METRE
from golfstats.calc.vocabulary import (
    Lie,
    LieQuality,
    MissDepth,
    MissSide,
    PenaltyKind,
    PuttBreak,
    PuttFault,
    Slope,
    Swing,
    Wind,
    Word,
)
from golfstats.ground.answers import OneOf
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.meanings import SHARED

PLACES = 2
"""Decimals of a distance that is given back: a centimetre is finer than anyone paces."""


Tag = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\s\x00-\x1f\x7f-\x9f,()#]+$")]
ClubName = Annotated[str, Field(min_length=1, max_length=20, pattern=r"^[A-Za-z0-9][A-Za-z0-9.+° -]*$")]
Distance = Annotated[float, Field(ge=0.05, le=2000, allow_inf_nan=False)]
Finite = Annotated[float, Field(ge=-2000, le=2000, allow_inf_nan=False)]
WindSpeed = Annotated[float, Field(ge=0, le=80)]


class Kind(Enum):
    """How a field is stored, counted in and told."""

    WORD = "a word of a vocabulary; stored as '' and counted in as UNKNOWN where it is not known"
    LENGTH = "yards or metres, on the green too; stored in yards"
    NUMBER = "a number in a unit that does not change"
    FLAG = "yes, no or not known"
    HOLED = "yes or no once the card is settled"
    TEXT = "the player's own word; stored as '' where there is none"
    COUNT = "a whole number that is always known"
    DISTANCE = "to the hole: yards, on the green feet, or metres; stored in yards"
    TAGS = "words of the player's own"


@dataclass(frozen=True)
class ShotField:
    """One thing that can be said of a shot, under its name in the API."""

    name: str
    kind: Kind
    type: Any
    """Of the posted value."""
    default: Any = None
    meaning: str = ""
    """Where one who posts is told more than one who reads: else it stands in ``ground.meanings``, for all answers."""
    words: type[Word] | None = None
    noted: str = ""
    """In the notation: the key of a number; for words and flags what the grammar says of them. Nothing for
    what has a letter of its own there."""
    column: str = ""
    """Of ``models.Shot``, where it has another name."""
    array: str = ""
    """Of ``calc.record.Shots``, where it has another name."""
    cell: str = ""
    """Column of a CSV file, where a round has a column of this name already."""

    @property
    def described(self) -> str:
        return self.meaning or SHARED[self.name]

    @property
    def stored_in(self) -> str:
        return self.column or self.name

    @property
    def counted_in(self) -> str:
        return self.array or self.name

    @property
    def array_is_plain(self) -> bool:
        """Counted in value by value: not the player's own words."""
        return self.kind not in (Kind.TEXT, Kind.TAGS)

    @property
    def in_file(self) -> str:
        return self.cell or self.name

    @property
    def annotation(self) -> tuple[Any, Any]:
        """Type and default for the body's model."""
        about: dict[str, Any] = {"description": self.described}
        if self.default is REQUIRED:
            return self.type, Field(**about)
        if isinstance(self.default, list):
            return self.type, Field(default_factory=list, **about)
        return (self.type | None if self.default is None else self.type), Field(default=self.default, **about)


REQUIRED = object()


def _word(name: str, words: type[Word], noted: str = "", **more: Any) -> ShotField:
    return ShotField(name, Kind.WORD, Annotated[str, OneOf(words)], words=words, noted=noted, **more)


SHOT_FIELDS = (
    _word("lie", Lie, default=REQUIRED, meaning="Where the ball lay before the shot."),
    ShotField(
        "distance",
        Kind.DISTANCE,
        Distance,
        REQUIRED,
        "To the hole before the shot: yards (feet on the green) or metres.",
    ),
    ShotField(
        "club",
        Kind.TEXT,
        ClubName,
        meaning="By any of its names (7i, 7 Iron, 7-iron) or a word of your own; kept under one name.",
        column="club_used",
    ),
    ShotField(
        "holed",
        Kind.HOLED,
        bool,
        meaning="May be left out: the last shot of a hole is holed unless the ball was picked up.",
    ),
    ShotField(
        "penalty_strokes",
        Kind.COUNT,
        Annotated[int, Field(ge=0, le=4)],
        0,
        "That came of the shot.",
        array="penalty",
    ),
    _word("penalty_kind", PenaltyKind),
    ShotField("target_distance", Kind.LENGTH, Distance, noted="to", array="target"),
    ShotField("travel", Kind.LENGTH, Distance, noted="went"),
    ShotField("offline", Kind.LENGTH, Finite, noted="off"),
    _word("miss_side", MissSide, "where a miss finished, to the side"),
    _word("miss_depth", MissDepth, "where a miss finished, in length"),
    ShotField("short_sided", Kind.FLAG, bool, noted="little green between ball and hole, or enough"),
    _word("lie_quality", LieQuality, "how the ball lay"),
    _word("swing", Swing, "the swing"),
    _word("wind", Wind, "the wind"),
    ShotField("wind_mph", Kind.NUMBER, WindSpeed, noted="mph", array="wind_speed", cell="shot_wind_mph"),
    ShotField("elevation", Kind.LENGTH, Finite, noted="up"),
    _word("slope", Slope, "the slope"),
    _word("putt_break", PuttBreak, "the break of a putt"),
    _word("fault", PuttFault, "what a missed putt failed by"),
    ShotField(
        "tags",
        Kind.TAGS,
        Annotated[list[Tag], Field(max_length=10)],
        [],
        "Words of your own, without spaces.",
        cell="shot_tags",
    ),
)


def only_once(names: Iterable[str]) -> None:
    """Refuse a table in which one word would stand for two fields."""
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        raise ValueError(f"each of these stands for two fields of a shot: {', '.join(twice)}")


WORD_FIELDS = tuple(one for one in SHOT_FIELDS if one.kind is Kind.WORD and one.noted)
"""Fields whose words stand alone in the notation."""
FLAG_FIELDS = tuple(one for one in SHOT_FIELDS if one.kind is Kind.FLAG and one.noted)
NUMBER_FIELDS = tuple(one for one in SHOT_FIELDS if one.kind in (Kind.LENGTH, Kind.NUMBER) and one.noted)

only_once(word for one in WORD_FIELDS if one.words for word in one.words.words())
for _names in ("name", "stored_in", "in_file"):
    only_once(getattr(one, _names) for one in SHOT_FIELDS)


def to_yards(value: float, unit: str, *, on_green: bool = False) -> float:
    """A posted distance in yards: metres throughout, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return value * YARDS_PER_METRE
    return value / FEET_PER_YARD if on_green else value


def from_yards(yards: float, unit: str, *, on_green: bool) -> float:
    """A stored distance in the unit of the API: metres, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return round(yards / YARDS_PER_METRE, PLACES)
    return round(yards * FEET_PER_YARD if on_green else yards, PLACES)


_COLUMNS = [(one.name, one.stored_in) for one in SHOT_FIELDS]
_TEXTS = [(one.name, one.stored_in) for one in SHOT_FIELDS if one.kind in (Kind.WORD, Kind.TEXT)]
_LENGTHS = [(one.name, one.stored_in) for one in SHOT_FIELDS if one.kind is Kind.LENGTH]
_DISTANCES = [(one.name, one.stored_in) for one in SHOT_FIELDS if one.kind is Kind.DISTANCE]
"""Name and column, looked through once and not for each shot: a round has seventy."""


def stored_shot(posted: Any, unit: str) -> dict[str, Any]:
    """The columns of a posted shot, in yards and in stored words. ``holed`` stays as it was said."""
    on_green = posted.lie == Lie.GREEN.word
    stored = {column: getattr(posted, name) for name, column in _COLUMNS}
    for _, column in _TEXTS:
        stored[column] = stored[column] or ""
    for _, column in _LENGTHS:
        if stored[column] is not None:
            stored[column] = to_yards(stored[column], unit)
    for _, column in _DISTANCES:
        stored[column] = to_yards(stored[column], unit, on_green=on_green)
    return stored


def posted_shot(stored: Any, unit: str) -> dict[str, Any]:
    """The fields of a stored shot as it could be posted again: the inverse of :func:`stored_shot`."""
    on_green = stored.lie == Lie.GREEN.word
    posted = {name: getattr(stored, column) for name, column in _COLUMNS}
    for name, _ in _TEXTS:
        posted[name] = posted[name] or None
    for name, _ in _LENGTHS:
        if posted[name] is not None:
            posted[name] = from_yards(posted[name], unit, on_green=False)
    for name, _ in _DISTANCES:
        posted[name] = from_yards(posted[name], unit, on_green=on_green)
    return posted
