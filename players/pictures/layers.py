"""The marks of a Vega-Lite specification: for each shape of picture what is drawn one above the other.

The words are those of the language (https://vega.github.io/vega-lite/docs/). Rows and series are printed as well, and
say theirs in the reader's language; the other shapes go to programs alone, in English.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence

from django.utils.translation import gettext

from golfstats.ground.words import day_words, with_marks
from players.golf.words import length_words, number_words
from players.pictures.colours import Palette
from players.pictures.shapes import Curve, Holed, Mark, Row, Rows, Series, Side, Sides, Written

Spec = dict[str, object]
"""A part of a specification, in the words of the language."""
WIDTH, ROW = 560, 34
AXIS = {
    Written.GAINED: "datum.value === 0 ? '0' : format(datum.value, '+~f')",
    Written.SHARE: "format(datum.value, '.0%')",
    Written.WHOLE: "format(datum.value, '.0f')",
    Written.PLAIN: "format(datum.value, '~f')",
    Written.INDEX: "datum.value < 0 ? '+' + format(-datum.value, '.1f') : format(datum.value, '.1f')",
}
NO_LEGEND: Mapping[str, object] = {"legend": None}
ONCE: Mapping[str, object] = {"data": {"values": [{}]}}
"""For marks that are drawn once, not for each datum of the picture."""
TOOLTIP: Mapping[str, object] = {"tooltip": {"field": "words", "type": "nominal"}}


def picture(values: Sequence[Spec], layers: Sequence[Spec], height: object, width: int = WIDTH) -> Spec:
    return {"width": width, "height": height, "data": {"values": values}, "layer": layers}


def known(field: str) -> Spec:
    """Of a mark: drawn for the data alone of which this is known."""
    return {"transform": [{"filter": f"isValid(datum.{field})"}]}


def axis_of(written: Written, title: str | None = None) -> Spec:
    return {"labelExpr": AXIS[written], "title": title, "tickCount": 6, "grid": True}


def rows(shape: Rows, palette: Palette) -> Spec:
    order: Spec = {"domain": [one.name for one in shape.rows]}
    axis: Spec = {"title": None, "labelLimit": 260, "labelColor": palette.ink}
    names: Spec = {"field": "name", "type": "nominal", "scale": order, "axis": axis}
    scale: Spec = {"zero": bool(shape.zero), "nice": not shape.is_share}
    if shape.is_share:
        scale["domain"] = [0, 1]
    along: Spec = {"type": "quantitative", "scale": scale, "axis": axis_of(shape.written, _along(shape))}
    layers = [_bar(along, names, palette), _dot(along, names, palette), _too_few(names)]
    if shape.zero:
        layers[:0] = _named_zero(along, shape.zero, palette)
    return picture([_row(one) for one in shape.rows], layers, {"step": ROW})


def _bar(along: Spec, names: Spec, palette: Palette) -> Spec:
    """From one end of the interval to the other, in the hue of its kind."""
    hues = palette.hues
    scale: Spec = {"domain": list(hues), "range": list(hues.values())}
    coloured: Spec = {"field": "kind", "type": "nominal", "scale": scale, **NO_LEGEND}
    ends: Spec = {"x": {"field": "low", **along}, "x2": {"field": "high"}}
    return {
        "mark": {"type": "rule", "strokeWidth": 5, "opacity": 0.7},
        **known("low"),
        "encoding": {**ends, "y": names, "color": coloured, **TOOLTIP},
    }


def _dot(along: Spec, names: Spec, palette: Palette) -> Spec:
    hollow: Spec = {"test": "datum.hollow", "value": palette.sheet}
    filled: Spec = {"condition": hollow, "value": palette.ink}
    return {
        "mark": {"type": "point", "filled": True, "size": 80, "stroke": palette.ink, "opacity": 1},
        **known("value"),
        "encoding": {"x": {"field": "value", **along}, "y": names, "fill": filled, **TOOLTIP},
    }


def _too_few(names: Spec) -> Spec:
    return {
        "mark": {"type": "text", "align": "left", "fontStyle": "italic", "text": gettext("too few")},
        "transform": [{"filter": "!isValid(datum.value)"}],
        "encoding": {"x": {"value": 6}, "y": names, **TOOLTIP},
    }


def _row(one: Row) -> Spec:
    figure = one.figure
    return {
        "name": one.name,
        "value": figure.value,
        "low": figure.low,
        "high": figure.high,
        "kind": one.kind,
        "hollow": one.hollow,
        "words": one.words or one.name,
    }


def _along(shape: Rows) -> str | None:
    ends = (f"← {shape.low}" if shape.low else "", shape.unit, f"{shape.high} →" if shape.high else "")
    return " · ".join(one for one in ends if one) or None


def _zero(channel: str, along: Spec, palette: Palette) -> Spec:
    """A line where the golfer compared with stands."""
    rule = {"type": "rule", "color": palette.edge, "strokeWidth": 1.5}
    return {**ONCE, "mark": rule, "encoding": {channel: {"datum": 0, **along}}}


def _named_zero(along: Spec, name: str, palette: Palette) -> list[Spec]:
    """The line with the name above it."""
    words = {"type": "text", "text": name, "color": palette.ink, "fontWeight": 600}
    named = {
        **ONCE,
        "mark": {**words, "baseline": "bottom", "dy": -4},
        "encoding": {"x": {"datum": 0, **along}, "y": {"value": 0}},
    }
    return [_zero("x", along, palette), named]


def series(shape: Series, palette: Palette) -> Spec:
    when: Spec = {
        "field": "day",
        "type": "temporal",
        "scale": {"type": "utc"},
        "axis": {"title": None, "format": "%b %Y", "labelOverlap": True, "grid": False, "tickCount": 8},
    }
    up: Spec = {
        "type": "quantitative",
        "scale": {"zero": False, "reverse": shape.downwards},
        "axis": axis_of(shape.written, _unit(shape)),
    }
    line: Spec = {"type": "line", "color": palette.accent, "strokeWidth": 2}
    if shape.steps:
        line["interpolate"] = "step-after"
    layers: list[Spec] = [
        {
            "mark": {"type": "area", "color": palette.band, "opacity": 1},
            **known("low"),
            "encoding": {"x": when, "y": {"field": "low", **up}, "y2": {"field": "high"}},
        },
        *([_zero("y", up, palette)] if shape.zero else []),
        {
            "mark": line,
            "transform": [{"calculate": "isValid(datum.level) ? datum.level : datum.value", "as": "drawn"}],
            "encoding": {"x": when, "y": {"field": "drawn", **up}},
        },
        {
            "mark": {"type": "point", "filled": True, "size": 26, "color": palette.ink, "opacity": 0.75},
            "encoding": {"x": when, "y": {"field": "value", **up}, **TOOLTIP},
        },
    ]
    if shape.aim is not None:
        layers += _aimed(shape, shape.aim, up, palette)
    if shape.marks:
        layers.append(_marked(shape.marks, when, palette))
    return picture([_point(shape, row) for row in range(len(shape.points))], layers, 220)


def _marked(marks: Sequence[Mark], when: Spec, palette: Palette) -> Spec:
    """A tick beneath each day on which something happened."""
    tick: Spec = {"type": "tick", "orient": "vertical", "color": palette.care, "thickness": 2, "size": 10}
    return {
        "data": {"values": [{"day": moment(one.day), "words": one.words} for one in marks]},
        "mark": tick,
        "encoding": {"x": when, "y": {"value": 215}, **TOOLTIP},
    }


def _aimed(shape: Series, aim: float, up: Spec, palette: Palette) -> list[Spec]:
    """A dashed line at the goal, named."""
    named = gettext("goal {aim}").format(aim=words_of(shape, aim))
    words = {"type": "text", "text": named, "color": palette.ink, "align": "right"}
    return [
        {
            **ONCE,
            "mark": {"type": "rule", "color": palette.ink, "strokeDash": [4, 3]},
            "encoding": {"y": {"datum": aim, **up}},
        },
        {
            **ONCE,
            "mark": {**words, "dy": -8},
            "encoding": {"x": {"value": WIDTH}, "y": {"datum": aim, **up}},
        },
    ]


def _point(shape: Series, row: int) -> Spec:
    one = shape.points[row]
    value = one.value if one.value is not None else one.level
    return {
        "day": moment(one.day),
        "value": one.value,
        "level": one.level,
        "low": one.low,
        "high": one.high,
        "words": f"{day_words(one.day)}: {'–' if value is None else words_of(shape, value)}",
    }


def moment(day: dt.date) -> str:
    """A moment of the day in UTC: a day alone would be midnight wherever the reader is."""
    return f"{day.isoformat()}T00:00:00Z"


def _unit(shape: Series) -> str | None:
    return None if shape.written in (Written.SHARE, Written.INDEX) else gettext(shape.unit.value)


def curve(shape: Curve, palette: Palette) -> Spec:
    """On a square-root axis, where short putts have the room that they need."""
    far = max((one.farthest for one in shape.bands if one.n), default=1.0)
    edges = sorted({0.0, *(edge for one in shape.bands if one.n for edge in (one.nearest, one.farthest))})
    across: Spec = {
        "field": "middle",
        "type": "quantitative",
        "scale": {"type": "sqrt", "domain": [0, far], "nice": False},
        "axis": {
            "title": gettext("from, {unit}").format(unit=gettext(shape.unit)),
            "values": edges,
            "format": "~f",
            "grid": False,
        },
    }
    up: Spec = {
        "type": "quantitative",
        "scale": {"domain": [0, 1]},
        "axis": axis_of(Written.SHARE, gettext("holed")),
    }
    layers = _lines(shape.benchmark, across, up, palette)
    layers += [
        {
            "mark": {"type": "rule", "strokeWidth": 4, "opacity": 0.7, "color": palette.hues["putting"]},
            **known("low"),
            "encoding": {"x": across, "y": {"field": "low", **up}, "y2": {"field": "high"}, **TOOLTIP},
        },
        {
            "mark": {"type": "point", "filled": True, "size": 80, "color": palette.ink, "opacity": 1},
            "encoding": {"x": across, "y": {"field": "value", **up}, **TOOLTIP},
        },
    ]
    return picture([_holed(one, shape.unit) for one in shape.bands if one.n], layers, 260)


def _lines(benchmark: str, across: Spec, up: Spec, palette: Palette) -> list[Spec]:
    """What one's own line and pace would hole, and what the golfer compared with does."""
    called = {"own": gettext("own line and pace"), "benchmark": benchmark}
    names = list(called.values())
    legend: Spec = {
        "type": "nominal",
        "scale": {"domain": names, "range": [palette.accent, palette.ink]},
        "legend": {"symbolType": "stroke", "orient": "top-right"},
    }
    dashes: Spec = {"type": "nominal", "scale": {"domain": names, "range": [[1, 0], [4, 3]]}}
    return [
        {
            "mark": {"type": "line", "strokeWidth": 2},
            **known(field),
            "encoding": {
                "x": across,
                "y": {"field": field, **up},
                "color": {"datum": name, **legend},
                "strokeDash": {"datum": name, **dashes},
            },
        }
        for field, name in called.items()
    ]


def _holed(one: Holed, unit: str) -> Spec:
    return {
        # The middle on the axis as it is drawn.
        "middle": round(((math.sqrt(one.nearest) + math.sqrt(one.farthest)) / 2) ** 2, 3),
        "value": one.share.value,
        "low": one.share.low,
        "high": one.share.high,
        "own": one.own,
        "benchmark": one.benchmark,
        "n": one.n,
        "words": f"{from_words(one, unit)}: {one.words}",
    }


def from_words(one: Holed, unit: str) -> str:
    return with_marks(f"{one.nearest:g}–{one.farthest:g} ") + gettext(unit)


PLACES = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "long": (0.0, 1.0), "short": (0.0, -1.0)}
LARGEST = 5500
"""Of a disc, in square pixels."""


def sides(shape: Sides, palette: Palette) -> Spec:
    across: Spec = {"type": "quantitative", "axis": None, "scale": {"domain": [-1.5, 1.5]}}
    is_flat = all(PLACES[one.name][1] == 0 for one in shape.sides)
    along: Spec = {**across, "scale": {"domain": [-0.7, 0.7]}} if is_flat else across
    at: Spec = {"x": {"field": "x", **across}, "y": {"field": "y", **along}}
    middle: Spec = {"x": {"datum": 0, **across}, "y": {"datum": 0, **along}}
    most = max((one.share for one in shape.sides), default=1.0)
    scale: Spec = {"domain": [0, most], "range": [0, LARGEST]}
    size: Spec = {"field": "share", "type": "quantitative", "scale": scale, **NO_LEGEND}
    disc: Spec = {"type": "point", "filled": True, "opacity": 1}
    words: Spec = {"type": "text", "fontSize": 12}
    layers: list[Spec] = [
        {
            **ONCE,
            "mark": {**disc, "size": 7000, "color": palette.peers, "stroke": palette.line},
            "encoding": middle,
        },
        {**ONCE, "mark": {**words, "text": "target"}, "encoding": middle},
        {"mark": {**disc, "color": palette.band}, "encoding": {**at, "size": size, **TOOLTIP}},
        {
            "mark": {**words, "dy": -7, "color": palette.ink, "fontWeight": 600},
            "encoding": {**at, "text": {"field": "side", "type": "nominal"}},
        },
        {
            "mark": {**words, "dy": 8},
            "encoding": {**at, "text": {"field": "share", "type": "quantitative", "format": ".0%"}},
        },
    ]
    return picture([_side(one) for one in shape.sides], layers, 140 if is_flat else 300, 360)


def _side(one: Side) -> Spec:
    x, y = PLACES[one.name]
    return {"side": one.name, "share": one.share, "x": x, "y": y, "words": one.words}


def words_of(shape: Series, value: float) -> str:
    if shape.written is Written.GAINED:
        return f"{number_words(value, shape.unit, signed=True)} {gettext(shape.unit.value)}"
    return length_words(value, shape.unit)
