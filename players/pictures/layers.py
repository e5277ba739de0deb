"""The marks of a Vega-Lite specification: for each shape of picture what is drawn one above the other.

The words are those of the language (https://vega.github.io/vega-lite/docs/). Rows and series are printed as well, and
say theirs in the reader's language; the other shapes go to programs alone, in English.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping

from django.utils.translation import gettext

from golfstats.ground.words import day_words, with_marks
from players.golf.words import length_words, number_words
from players.pictures.colours import Palette
from players.pictures.shapes import Curve, Holed, Row, Rows, Series, Side, Sides, Written

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


def axis_of(written: Written, title: str | None = None) -> Spec:
    return {"labelExpr": AXIS[written], "title": title, "tickCount": 6, "grid": True}


def rows(shape: Rows, palette: Palette) -> Spec:
    hues = palette.hues
    order: Spec = {"domain": [one.name for one in shape.rows]}
    where: Spec = {"field": "name", "type": "nominal", "scale": order}
    names: Spec = {**where, "axis": {"title": None, "labelLimit": 260, "labelColor": palette.ink}}
    scale: Spec = {"zero": bool(shape.zero), "nice": not shape.is_share}
    if shape.is_share:
        scale["domain"] = [0, 1]
    along: Spec = {
        "type": "quantitative",
        "scale": scale,
        "axis": axis_of(shape.written, _along(shape)),
    }
    coloured: Spec = {
        "field": "kind",
        "type": "nominal",
        "scale": {"domain": list(hues), "range": list(hues.values())},
        **NO_LEGEND,
    }
    tooltip: Spec = {"tooltip": {"field": "words", "type": "nominal"}}
    layers: list[Spec] = [
        {
            "mark": {"type": "rule", "strokeWidth": 5, "opacity": 0.7},
            "transform": [{"filter": "isValid(datum.low)"}],
            "encoding": {
                "x": {"field": "low", **along},
                "x2": {"field": "high"},
                "y": names,
                "color": coloured,
                **tooltip,
            },
        },
        {
            "mark": {"type": "point", "filled": True, "size": 80, "stroke": palette.ink, "opacity": 1},
            "transform": [{"filter": "isValid(datum.value)"}],
            "encoding": {
                "x": {"field": "value", **along},
                "y": names,
                "fill": {
                    "condition": {"test": "datum.hollow", "value": palette.sheet},
                    "value": palette.ink,
                },
                **tooltip,
            },
        },
        {
            "mark": {"type": "text", "align": "left", "fontStyle": "italic", "text": gettext("too few")},
            "transform": [{"filter": "!isValid(datum.value)"}],
            "encoding": {"x": {"value": 6}, "y": names, **tooltip},
        },
    ]
    if shape.zero:
        layers[:0] = _named_zero(along, shape.zero, palette)
    return {
        "width": WIDTH,
        "height": {"step": ROW},
        "data": {"values": [_row(one) for one in shape.rows]},
        "layer": layers,
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
    tooltip: Spec = {"tooltip": {"field": "words", "type": "nominal"}}
    layers: list[Spec] = [
        {
            "mark": {"type": "area", "color": palette.band, "opacity": 1},
            "transform": [{"filter": "isValid(datum.low)"}],
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
            "encoding": {"x": when, "y": {"field": "value", **up}, **tooltip},
        },
    ]
    if shape.aim is not None:
        layers += _aimed(shape, shape.aim, up, palette)
    if shape.marks:
        layers.append(
            {
                "data": {"values": [{"day": moment(one.day), "words": one.words} for one in shape.marks]},
                "mark": {
                    "type": "tick",
                    "orient": "vertical",
                    "color": palette.care,
                    "thickness": 2,
                    "size": 10,
                },
                "encoding": {"x": when, "y": {"value": 215}, **tooltip},
            }
        )
    return {
        "width": WIDTH,
        "height": 220,
        "data": {"values": [_point(shape, row) for row in range(len(shape.points))]},
        "layer": layers,
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
    own, other = gettext("own line and pace"), shape.benchmark
    legend: Spec = {
        "type": "nominal",
        "scale": {"domain": [own, other], "range": [palette.accent, palette.ink]},
        "legend": {"symbolType": "stroke", "orient": "top-right"},
    }
    dashes: Spec = {"type": "nominal", "scale": {"domain": [own, other], "range": [[1, 0], [4, 3]]}}
    tooltip: Spec = {"tooltip": {"field": "words", "type": "nominal"}}
    layers: list[Spec] = [
        {
            "mark": {"type": "line", "strokeWidth": 2},
            "transform": [{"filter": f"isValid(datum.{field})"}],
            "encoding": {
                "x": across,
                "y": {"field": field, **up},
                "color": {"datum": name, **legend},
                "strokeDash": {"datum": name, **dashes},
            },
        }
        for field, name in (("own", own), ("benchmark", other))
    ]
    layers.append(
        {
            "mark": {"type": "rule", "strokeWidth": 4, "opacity": 0.7, "color": palette.hues["putting"]},
            "transform": [{"filter": "isValid(datum.low)"}],
            "encoding": {"x": across, "y": {"field": "low", **up}, "y2": {"field": "high"}, **tooltip},
        }
    )
    layers.append(
        {
            "mark": {"type": "point", "filled": True, "size": 80, "color": palette.ink, "opacity": 1},
            "encoding": {"x": across, "y": {"field": "value", **up}, **tooltip},
        }
    )
    values = [_holed(one, shape.unit) for one in shape.bands if one.n]
    return {"width": WIDTH, "height": 260, "data": {"values": values}, "layer": layers}


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
    most = max((one.share for one in shape.sides), default=1.0)
    tooltip: Spec = {"tooltip": {"field": "words", "type": "nominal"}}
    words: Spec = {"type": "text", "fontSize": 12}
    middle: Spec = {"x": {"datum": 0, **across}, "y": {"datum": 0, **along}}
    layers: list[Spec] = [
        {
            **ONCE,
            "mark": {
                "type": "point",
                "filled": True,
                "size": 7000,
                "color": palette.peers,
                "stroke": palette.line,
                "opacity": 1,
            },
            "encoding": middle,
        },
        {**ONCE, "mark": {**words, "text": "target"}, "encoding": middle},
        {
            "mark": {"type": "point", "filled": True, "color": palette.band, "opacity": 1},
            "encoding": {
                **at,
                "size": {
                    "field": "share",
                    "type": "quantitative",
                    "scale": {"domain": [0, most], "range": [0, LARGEST]},
                    **NO_LEGEND,
                },
                **tooltip,
            },
        },
        {
            "mark": {**words, "dy": -7, "color": palette.ink, "fontWeight": 600},
            "encoding": {**at, "text": {"field": "side", "type": "nominal"}},
        },
        {
            "mark": {**words, "dy": 8},
            "encoding": {**at, "text": {"field": "share", "type": "quantitative", "format": ".0%"}},
        },
    ]
    return {
        "width": 360,
        "height": 140 if is_flat else 300,
        "data": {"values": [_side(one) for one in shape.sides]},
        "layer": layers,
    }


def _side(one: Side) -> Spec:
    x, y = PLACES[one.name]
    return {"side": one.name, "share": one.share, "x": x, "y": y, "words": one.words}


def words_of(shape: Series, value: float) -> str:
    if shape.written is Written.GAINED:
        return f"{number_words(value, shape.unit, signed=True)} {gettext(shape.unit.value)}"
    return length_words(value, shape.unit)
