"""What a picture shows, without saying how it is drawn: pages draw it as SVG, programs get it as Vega-Lite."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from golfstats.calc.units import Unit


class Interval(Protocol):
    """Whatever has a value and an interval about it."""

    @property
    def value(self) -> float | None: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...


class Written(Enum):
    """How the numbers of an axis are written."""

    GAINED = "gained"
    """With their sign: ``+0.5``, ``−1``."""
    SHARE = "share"
    """As percent."""
    WHOLE = "whole"
    PLAIN = "plain"
    """With as many decimals as they have."""
    INDEX = "index"
    """As a handicap index: better than scratch with a plus."""


@dataclass(frozen=True)
class Row:
    """One figure of a picture. ``kind`` is what it is coloured by: a part of the game has a hue of its own."""

    name: str
    figure: Interval
    kind: str = "bar"
    words: str = ""
    """The figure in words, with interval and sample."""


@dataclass(frozen=True, kw_only=True)
class Rows:
    """Figures with their intervals as rows on one axis."""

    title: str
    rows: Sequence[Row]
    written: Written
    unit: str = ""
    """Of the axis: ``yd``."""
    zero: str = ""
    """What stands at zero."""
    low: str = ""
    """What it means to lie left of zero."""
    high: str = ""
    """And right of it."""
    is_share: bool = False
    """The axis goes from 0 to 1, whatever is shown."""
    bars: str = "90% interval"
    """What the bars are."""


@dataclass(frozen=True)
class Point:
    """A moment of a series: what was seen, and the level with its band where a model tells them."""

    day: dt.date
    value: float | None
    level: float | None = None
    low: float | None = None
    high: float | None = None
    address: str = ""
    """On the pages, of what stands behind it."""


@dataclass(frozen=True)
class Mark:
    """Something that happens on a day: green work, a lesson, a new ball, an event."""

    day: dt.date
    words: str


@dataclass(frozen=True, kw_only=True)
class Series:
    """A figure over time."""

    title: str
    points: Sequence[Point]
    unit: Unit
    written: Written
    downwards: bool = False
    """Small values are better, and stand on top."""
    zero: str = ""
    """What stands at zero."""
    aim: float | None = None
    """A goal."""
    marks: Sequence[Mark] = ()
    steps: bool = False
    """The value holds from its day to the next, as an index does; it has no band."""


@dataclass(frozen=True)
class Holed:
    """Putts from a range of distances: the share holed, and what the golfer compared with would have holed."""

    nearest: float
    farthest: float
    share: Interval
    n: int
    benchmark: float | None
    own: float | None
    """What the player's own spreads of line and pace give."""
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Putts holed by distance."""

    title: str
    bands: Sequence[Holed]
    unit: str
    benchmark: str


@dataclass(frozen=True)
class Side:
    """One side of the target, and the share of the misses that went there."""

    name: str
    share: float
    words: str


@dataclass(frozen=True, kw_only=True)
class Sides:
    """Where missed shots go, seen from above."""

    title: str
    sides: Sequence[Side]


Shape = Rows | Series | Curve | Sides
