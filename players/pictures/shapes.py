"""What a picture shows, without saying how it is drawn: pages draw it as SVG, programs get it as Vega-Lite."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
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
    hollow: bool = False
    """Cannot be told from the first, or rests on little: drawn as a ring."""


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
    bars: str = ""
    """What the bars are, where they are no 90% interval."""
    rings: str = ""
    """What hollow marks are; nothing where there are none."""


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


@dataclass(frozen=True)
class ScatterSide:
    """One side of an aim, and what it costs to finish there."""

    name: str
    cost: str
    """As it is written beside the picture: ``+0.2``, or nothing."""
    because: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Scatter:
    """How shots with one club lie about their aim, yards: two ellipses, and what each side costs."""

    title: str
    half: tuple[float, float]
    """Half-axes, across and along, of the ellipse with half of the shots."""
    most: tuple[float, float]
    """Of that with nine in ten."""
    sides: Sequence[ScatterSide]
    words: str


@dataclass(frozen=True, kw_only=True)
class Chances:
    """How likely each score of a round is."""

    title: str
    scores: Sequence[tuple[int, float]]
    """Each with its chance, 0 to 1, rising."""
    low: int
    high: int
    """Nine rounds in ten lie between."""
    target: int | None
    words: str
    """What is likely, in a sentence."""


@dataclass(frozen=True)
class Stack:
    """Something in parts, gains above zero and losses below."""

    name: str
    parts: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class Stacks:
    """Parts stacked about zero, beside one another."""

    title: str
    stacks: Sequence[Stack]
    unit: Unit
    across: str
    """What stands side by side: ``hole``."""


@dataclass(frozen=True)
class Felt:
    """Work, and until when it is felt."""

    starts_on: dt.date
    ends_on: dt.date
    back_on: dt.date
    words: str
    address: str = ""
    """On the pages, where it is corrected."""


@dataclass(frozen=True, kw_only=True)
class Season:
    """Work on the greens through a year, with events and today."""

    title: str
    first: dt.date
    last: dt.date
    today: dt.date
    work: Sequence[Felt]
    """What is felt within these days, the latest last."""
    events: Sequence[Mark]


@dataclass(frozen=True, kw_only=True)
class Coming:
    """How disturbed the greens are expected to be, day by day: 1 is just cored."""

    title: str
    days: Sequence[tuple[dt.date, float]]
    events: Sequence[Mark]


@dataclass(frozen=True)
class Window:
    """What a round costs so many days after the work."""

    first_day: int
    last_day: int
    strokes: Interval
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class Recovery:
    """What work costs a round by days since, beside the same asked of dates without work."""

    title: str
    kind: str
    windows: Sequence[Window]
    placebo: Sequence[Interval]


@dataclass(frozen=True)
class Thing:
    """A tee, a pin or a bunker, with the strokes that it costs each golfer, the best first."""

    what: str
    costs: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Things:
    """What lies on a hole, and what it costs golfers of several handicaps; less is better, to the right."""

    title: str
    things: Sequence[Thing]
    handicaps: Sequence[float]
    unsure: float
    """Strokes within which nothing is told from nothing."""


Shape = Rows | Series | Curve | Sides | Scatter | Chances | Stacks | Season | Coming | Recovery | Things
