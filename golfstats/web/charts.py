"""Charts: each as numbers, as an SVG written here (which needs no script) and as a Vega-Lite specification."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from golfstats.calc.figure import Figure

WIDTH, HEIGHT = 340, 150
LEFT, RIGHT, TOP, BOTTOM = 40, 8, 8, 22
INK, ACCENT, BAND, GRID = "#22302b", "#1d5f7a", "#c9dde4", "#d9d9d2"


@dataclass(frozen=True)
class Point:
    """A moment of a series: what was seen, and the level with its band where a model tells them."""

    day: date
    value: float
    level: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Chart:
    title: str
    described: str
    """What it shows, for who does not see it."""
    svg: SafeString
    spec: dict[str, Any]
    columns: list[str]
    rows: list[list[str]]


def band_chart(
    title: str, points: Sequence[Point], written: Callable[[float], str], *, reverse: bool = False
) -> Chart | None:
    """Values by day as dots, with level and 90% band where known; nothing below two points.

    ``reverse`` puts small values on top (a handicap index gets better downwards).
    """
    if len(points) < 2:
        return None
    first, last = points[0], points[-1]
    described = (
        f"{title}, {len(points)} points from {first.day} ({written(_best(first))}) to {last.day} "
        f"({written(_best(last))})."
    )
    banded = any(point.low is not None for point in points)
    rows = [_row(point, written, banded=banded) for point in points]
    columns = ["Day", "Value", "Level", "90% band"] if banded else ["Day", "Value"]
    spec = _band_spec(title, points, banded=banded, reverse=reverse) | {"description": described}
    return Chart(
        title, described, _band_svg(points, written, described, reverse=reverse), spec, columns, rows
    )


def _best(point: Point) -> float:
    return point.value if point.level is None else point.level


def _row(point: Point, written: Callable[[float], str], *, banded: bool) -> list[str]:
    row = [point.day.isoformat(), written(point.value)]
    if not banded:
        return row
    if point.level is None or point.low is None or point.high is None:
        return [*row, "–", "–"]
    return [*row, written(point.level), f"{written(point.low)} to {written(point.high)}"]


def _band_spec(title: str, points: Sequence[Point], *, banded: bool, reverse: bool) -> dict[str, Any]:
    x = {"field": "day", "type": "temporal", "title": None}
    scale = {"zero": False, "reverse": reverse}
    # A handicap better than scratch is written with a plus.
    axis = {"labelExpr": "datum.value < 0 ? '+' + (0 - datum.value) : datum.label"} if reverse else {}
    tooltip = [
        {"field": "day", "type": "temporal", "title": "Day"},
        {"field": "value", "type": "quantitative", "title": title, "format": ".2f"},
    ]
    layers: list[dict[str, Any]] = []
    if banded:
        layers = [
            {
                "mark": {"type": "area", "color": BAND},
                "encoding": {
                    "y": {"field": "low", "type": "quantitative", "title": None, "scale": scale},
                    "y2": {"field": "high"},
                },
            },
            {
                "mark": {"type": "line", "color": ACCENT},
                "encoding": {"y": {"field": "level", "type": "quantitative", "title": None}},
            },
        ]
    dots = {
        "mark": {"type": "point", "color": INK, "filled": True, "size": 28, "opacity": 0.75},
        "encoding": {
            "y": {"field": "value", "type": "quantitative", "title": None, "scale": scale, "axis": axis},
            "tooltip": tooltip,
        },
    }
    if not banded:
        dots["mark"] = {"type": "line", "color": ACCENT, "point": {"color": INK, "size": 24}}
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
        "width": "container",
        "height": 170,
        "data": {
            "values": [
                {"day": p.day.isoformat(), "value": p.value, "level": p.level, "low": p.low, "high": p.high}
                for p in points
            ]
        },
        "encoding": {"x": x},
        "layer": [*layers, dots],
    }


@dataclass(frozen=True)
class _Scale:
    """From days and values to places in the drawing."""

    first: int
    days: int
    bottom: float
    top: float
    reverse: bool

    def x(self, day: date) -> float:
        return LEFT + (day.toordinal() - self.first) / self.days * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.bottom) / (self.top - self.bottom)
        share = 1 - share if self.reverse else share
        return HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM)


def _scale(points: Sequence[Point], *, reverse: bool) -> _Scale:
    values = [x for p in points for x in (p.value, p.low, p.high, p.level) if x is not None]
    bottom, top = min(values), max(values)
    room = (top - bottom or 1.0) * 0.06
    first, last = points[0].day.toordinal(), points[-1].day.toordinal()
    return _Scale(first, max(last - first, 1), bottom - room, top + room, reverse)


def _band_svg(
    points: Sequence[Point], written: Callable[[float], str], described: str, *, reverse: bool
) -> SafeString:
    scale = _scale(points, reverse=reverse)
    levels = [(p.day, p.level, p.low, p.high) for p in points]
    known = [(d, v, a, b) for d, v, a, b in levels if v is not None and a is not None and b is not None]
    band = _path([(d, b) for d, _, _, b in known] + [(d, a) for d, _, a, _ in reversed(known)], scale)
    line = _path([(d, v) for d, v, _, _ in known] or [(p.day, p.value) for p in points], scale)
    dots = format_html_join(
        "",
        '<circle cx="{}" cy="{}" r="2.2"/>',
        ((_place(scale.x(p.day)), _place(scale.y(p.value))) for p in points),
    )
    ticks = [scale.bottom + share * (scale.top - scale.bottom) for share in (0.1, 0.5, 0.9)]
    marks = format_html_join(
        "",
        '<line x1="{x1}" x2="{x2}" y1="{y}" y2="{y}" stroke="{grid}"/>'
        '<text x="{tx}" y="{ty}" text-anchor="end">{words}</text>',
        (
            {
                "x1": LEFT,
                "x2": WIDTH - RIGHT,
                "y": _place(scale.y(tick)),
                "grid": GRID,
                "tx": LEFT - 4,
                "ty": _place(scale.y(tick) + 3.5),
                "words": written(tick),
            }
            for tick in ticks
        ),
    )
    return format_html(
        '<svg viewBox="0 0 {w} {h}" role="img" class="drawn"><title>{described}</title>{marks}'
        '<path d="{band}" fill="{band_colour}"/>'
        '<path d="{line}" fill="none" stroke="{accent}" stroke-width="1.8"/>'
        '<g fill="{ink}" fill-opacity="0.75">{dots}</g>'
        '<text x="{left}" y="{below}">{first}</text>'
        '<text x="{right}" y="{below}" text-anchor="end">{last}</text></svg>',
        w=WIDTH,
        h=HEIGHT,
        described=described,
        marks=marks,
        band=band,
        band_colour=BAND,
        line=line,
        accent=ACCENT,
        ink=INK,
        dots=dots,
        left=LEFT,
        right=WIDTH - RIGHT,
        below=HEIGHT - 6,
        first=f"{points[0].day:%d %b %Y}",
        last=f"{points[-1].day:%d %b %Y}",
    )


def _place(number: float) -> str:
    return f"{number:.1f}"


def _path(places: Sequence[tuple[date, float]], scale: _Scale) -> str:
    return (
        "M" + " L".join(f"{scale.x(day):.1f} {scale.y(value):.1f}" for day, value in places) if places else ""
    )


@dataclass(frozen=True)
class Span:
    """A common scale on which some figures with their intervals, and zero, have room."""

    low: float
    high: float

    @classmethod
    def of(cls, figures: Iterable[Figure]) -> Span:
        edges = [edge for one in figures for edge in (one.low, one.high) if edge is not None]
        return cls(min([0.0, *edges]), max([0.0, *edges]))

    def x(self, value: float) -> str:
        width = self.high - self.low or 1.0
        return _place(5 + 110 * (value - self.low) / width)


def interval_svg(figure: Figure, span: Span) -> SafeString:
    """An estimate on a line: the dot is the value, the bar its interval, the upright line zero.

    The numbers stand beside it, so it says nothing to a screen reader.
    """
    if figure.value is None or figure.low is None or figure.high is None:
        return SafeString("")
    return format_html(
        '<svg viewBox="0 0 120 16" class="interval" aria-hidden="true">'
        '<line x1="{zero}" x2="{zero}" y1="1" y2="15" stroke="{grid}" stroke-width="1.5"/>'
        '<line x1="{low}" x2="{high}" y1="8" y2="8" stroke="{accent}" stroke-width="4"/>'
        '<circle cx="{value}" cy="8" r="3.5" fill="{ink}"/></svg>',
        grid="#8a938f",
        accent="#7fa9b8",
        ink=INK,
        zero=span.x(0.0),
        low=span.x(figure.low),
        high=span.x(figure.high),
        value=span.x(figure.value),
    )
