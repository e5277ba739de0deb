"""What a picture shows as a Vega-Lite specification: complete, with its data within, and no address to fetch.

Version 5 of the language (https://vega.github.io/vega-lite/docs/), of which the only address is the name of its schema.
Numbers are written by d3-format, whose minus is the true one, as on the pages; a datum carries the words of its figure,
so that what stands beside a mark says the same as a page does.
"""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.ground.words import day_words
from players.pictures import layers
from players.pictures.colours import PALETTES, Palette, Scheme
from players.pictures.layers import Spec, from_words, words_of
from players.pictures.shapes import Curve, Rows, Series, Shape, Sides

SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json"


@dataclass(frozen=True)
class About:
    """What is said of a picture beside what it shows."""

    whose: str
    sample: str
    """The rounds it rests on."""
    scheme: Scheme


def specification(shape: Shape, about: About) -> Spec:
    palette = PALETTES[about.scheme]
    match shape:
        case Rows():
            drawn, bars = layers.rows(shape, palette), f"bars: {shape.bars}"
        case Series():
            drawn = layers.series(shape, palette)
            bars = "" if shape.steps else _key(shape)
        case Curve():
            drawn, bars = layers.curve(shape, palette), "bars: 90% interval"
        case Sides():
            drawn, bars = layers.sides(shape, palette), "discs as large as the share of the misses"
    beneath = [" · ".join(one for one in (about.whose, about.sample) if one), bars]
    return {
        "$schema": SCHEMA,
        "title": {"text": shape.title, "subtitle": [one for one in beneath if one]},
        "description": described(shape, about),
        "usermeta": {"whose": about.whose, "sample": about.sample, "interval": bars},
        "background": palette.sheet,
        "config": _config(palette),
        **drawn,
    }


def described(shape: Shape, about: About) -> str:
    """The whole picture in words, for who cannot see it."""
    head = f"{shape.title}. {about.whose}. {about.sample}."
    match shape:
        case Rows():
            scale = f" Zero is: {shape.zero}." if shape.zero else ""
            return head + scale + "".join(f" {one.name}: {one.words}." for one in shape.rows)
        case Series():
            return head + _series_in_words(shape)
        case Curve():
            return head + "".join(
                f" {from_words(one, shape.unit)}: {one.words}." for one in shape.bands if one.n
            )
        case Sides():
            return head + "".join(f" {one.words}." for one in shape.sides)


def _key(shape: Series) -> str:
    """What is what in a picture over time."""
    parts = ["line: level, band: its 90% interval"]
    parts += [f"zero: {shape.zero}"] if shape.zero else []
    parts += ["ticks: work on the greens"] if shape.marks else []
    return ", ".join(parts)


def _series_in_words(shape: Series) -> str:
    if not shape.points:
        return " Nothing is known yet."
    first, last = shape.points[0], shape.points[-1]
    ends = []
    for word, one in (("first", first), ("last", last)):
        value = one.value if one.level is None else one.level
        if value is not None:
            ends.append(f"{word} {words_of(shape, value)} on {day_words(one.day)}")
    return f" {len(shape.points)} points: {', '.join(ends)}."


def _config(palette: Palette) -> Spec:
    return {
        "font": "system-ui, Roboto, 'Liberation Sans', sans-serif",
        "view": {"stroke": None},
        "title": {
            "anchor": "start",
            "color": palette.ink,
            "subtitleColor": palette.soft,
            "fontSize": 14,
            "subtitleFontSize": 11,
            "offset": 14,
        },
        "axis": {
            "labelColor": palette.soft,
            "titleColor": palette.soft,
            "titleFontWeight": "normal",
            "gridColor": palette.line,
            "domain": False,
            "ticks": False,
            "labelPadding": 6,
            "labelFontSize": 11,
            "titleFontSize": 11,
        },
        "legend": {"labelColor": palette.soft, "labelFontSize": 11, "title": None, "orient": "top-right"},
        "text": {"color": palette.soft, "fontSize": 11},
    }
