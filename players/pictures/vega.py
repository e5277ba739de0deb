"""What a picture shows as a Vega-Lite specification: complete, with its data within, and no address to fetch.

Version 5 of the language (https://vega.github.io/vega-lite/docs/), of which the only address is the name of its schema.
Numbers are written by d3-format, whose minus is the true one, as on the pages; a datum carries the words of its figure,
so that what stands beside a mark says the same as a page does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import dates
from django.utils.translation import gettext

from golfstats.ground.words import counted, day_words, in_english, percent_words, true_minus, with_marks
from players.pictures import greens_layers, layers, plan_layers
from players.pictures.colours import PALETTES, Palette, Scheme
from players.pictures.layers import Spec, from_words, words_of
from players.pictures.shapes import (
    Chances,
    Coming,
    Curve,
    Mark,
    Recovery,
    Rows,
    Scatter,
    Season,
    Series,
    Shape,
    Sides,
    Stacks,
    Things,
)

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
            drawn, bars = layers.rows(shape, palette), _bars(shape)
        case Series():
            drawn = layers.series(shape, palette)
            bars = "" if shape.steps else _key(shape)
        case Curve():
            drawn, bars = layers.curve(shape, palette), gettext("bars: 90% interval")
        case Sides():
            drawn, bars = layers.sides(shape, palette), gettext("discs as large as the share of the misses")
        case Scatter():
            drawn = plan_layers.scatter(shape, palette)
            bars = gettext("inner ring: half of the shots, outer: nine in ten, mis-hits aside")
        case Chances():
            drawn, bars = (
                plan_layers.chances(shape, palette),
                gettext("thick line: nine rounds in ten end there"),
            )
        case Stacks():
            drawn, bars = plan_layers.stacks(shape, palette), gettext("above zero gained, below lost")
        case Season():
            drawn = greens_layers.season(shape, palette)
            bars = gettext("thin: while the work was done, broad: until the greens are back, rings: events")
        case Coming():
            drawn, bars = greens_layers.coming(shape, palette), gettext("100% is just cored, rings: events")
        case Recovery():
            drawn = greens_layers.recovery(shape, palette)
            bars = gettext("bands: 90% interval")
            if shape.placebo:
                bars = gettext("bands: 90% interval, dashed: dates without work")
        case Things():
            drawn = greens_layers.things(shape, palette)
            bars = gettext("larger rings: higher handicaps, grey band: not told from nothing")
    beneath = [" · ".join(one for one in (about.whose, about.sample) if one), bars]
    return {
        "$schema": SCHEMA,
        "title": {"text": shape.title, "subtitle": [one for one in beneath if one]},
        "description": described(shape, about),
        "usermeta": {"whose": about.whose, "sample": about.sample, "interval": bars},
        "background": palette.sheet,
        "config": _config(palette) | _locale(),
        **drawn,
    }


def described(shape: Shape, about: About) -> str:
    """The whole picture in words, for who cannot see it."""
    return " ".join([f"{shape.title}. {about.whose}. {about.sample}.", *_sentences(shape)])


def _sentences(shape: Shape) -> list[str]:
    """What each mark of it says."""
    match shape:
        case Rows():
            said = [gettext("Zero is: {zero}.").format(zero=shape.zero)] if shape.zero else []
            said += [f"{one.name}: {one.words}." for one in shape.rows]
        case Series():
            said = [_series_in_words(shape)]
        case Curve():
            said = [f"{from_words(one, shape.unit)}: {one.words}." for one in shape.bands if one.n]
        case Sides():
            said = [f"{one.words}." for one in shape.sides]
        case Scatter():
            said = [shape.words, *(f"{one.words}." for one in shape.sides)]
        case Chances():
            said = [shape.words, *(f"{score}: {percent_words(chance)}." for score, chance in shape.scores)]
        case Stacks():
            said = [
                f"{plan_layers.stack_words(shape, one, part)}." for one in shape.stacks for part in one.parts
            ]
        case Season():
            said = [f"{greens_layers.felt_words(one)}." for one in shape.work] + _dated(shape.events)
        case Coming():
            said = [f"{day_words(day)}: {percent_words(share)}." for day, share in shape.days]
            said += _dated(shape.events)
        case Recovery():
            said = [f"{greens_layers.window_words(one)}." for one in shape.windows]
        case Things():
            said = [
                f"{greens_layers.thing_words(one, handicap, cost)}."
                for one in shape.things
                for handicap, cost in zip(shape.handicaps, one.costs, strict=True)
            ]
    return said


def _dated(marks: Sequence[Mark]) -> list[str]:
    return [f"{day_words(one.day)}: {one.words}." for one in marks]


def _bars(shape: Rows) -> str:
    """What is what in a picture of rows."""
    parts = [gettext("bars: {bars}").format(bars=shape.bars or gettext("90% interval"))]
    parts += [gettext("rings: {rings}").format(rings=shape.rings)] if shape.rings else []
    return ", ".join(parts)


def _key(shape: Series) -> str:
    """What is what in a picture over time."""
    parts = [gettext("line: level, band: its 90% interval")]
    parts += [gettext("zero: {zero}").format(zero=shape.zero)] if shape.zero else []
    parts += [gettext("ticks: work on the greens")] if shape.marks else []
    return ", ".join(parts)


def _series_in_words(shape: Series) -> str:
    if not shape.points:
        return gettext("Nothing is known yet.")
    first, last = shape.points[0], shape.points[-1]
    ends = []
    for words, one in ((gettext("first {value} on {day}"), first), (gettext("last {value} on {day}"), last)):
        value = one.value if one.level is None else one.level
        if value is not None:
            ends.append(words.format(value=words_of(shape, value), day=day_words(one.day)))
    points = counted(len(shape.points), "point")
    return f"{points}: {', '.join(ends)}."


def _locale() -> Spec:
    """How axes write numbers and days, where it is not as in English: a locale of d3-format and d3-time-format
    (https://d3js.org/d3-format#formatLocale, https://d3js.org/d3-time-format#timeFormatLocale).
    """
    if in_english():
        return {}
    number = {
        "decimal": with_marks("."),
        "thousands": with_marks(","),
        "grouping": [3],
        "currency": ["", ""],
        "minus": true_minus("-"),
        "percent": percent_words(0).removeprefix("0"),
    }
    days = [*range(6, 7), *range(6)]  # d3 begins with Sunday, Django with Monday
    time = {
        "dateTime": "%A, %e. %B %Y, %X",
        "date": "%d.%m.%Y",
        "time": "%H:%M:%S",
        "periods": ["AM", "PM"],
        "days": [str(dates.WEEKDAYS[day]) for day in days],
        "shortDays": [str(dates.WEEKDAYS_ABBR[day]) for day in days],
        "months": [str(name) for name in dates.MONTHS.values()],
        "shortMonths": [str(name).capitalize() for name in dates.MONTHS_3.values()],
    }
    return {"locale": {"number": number, "time": time}}


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
