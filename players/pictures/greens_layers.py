"""The marks of pictures of greens and holes: the season, the days to come, recovery, what lies on a hole."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.utils.translation import gettext

from golfstats.ground.words import day_words, percent_words
from players.golf.words import ends, strokes_words
from players.pictures.colours import Palette
from players.pictures.layers import ONCE, ROW, TOOLTIP, Spec, axis_of, known, moment, picture
from players.pictures.shapes import (
    Coming,
    Felt,
    Interval,
    Mark,
    Recovery,
    Season,
    Thing,
    Things,
    Window,
    Written,
)

BESIDE = 12
"""Pixels between what stands beside the picture's own axis."""


def season(shape: Season, palette: Palette) -> Spec:
    """A row for each piece of work: narrow while it is done, broad until it is healed."""
    when: Spec = {
        "type": "temporal",
        "scale": {"type": "utc", "domain": [moment(shape.first), moment(shape.last)]},
        "axis": {"title": None, "format": "%b %Y", "grid": True, "labelOverlap": True},
    }
    # A datum of its own is no field that would be read as a day: in milliseconds, as Vega counts time.
    today = int(dt.datetime.combine(shape.today, dt.time(), dt.UTC).timestamp() * 1000)
    names: Spec = {
        "field": "row",
        "type": "ordinal",
        "axis": {"title": None, "labelExpr": "split(datum.label, ' · ')[1]", "labelColor": palette.ink},
        "sort": None,
    }
    layers: list[Spec] = [
        {
            "mark": {"type": "bar", "height": 14, "color": palette.band},
            "encoding": {"x": {"field": "start", **when}, "x2": {"field": "back"}, "y": names, **TOOLTIP},
        },
        {
            "mark": {"type": "bar", "height": 6, "color": palette.ink},
            "encoding": {"x": {"field": "start", **when}, "x2": {"field": "done"}, "y": names, **TOOLTIP},
        },
        {
            **ONCE,
            "mark": {"type": "rule", "color": palette.edge, "strokeWidth": 1.5},
            "encoding": {"x": {"datum": today, **when}},
        },
        {
            **ONCE,
            "mark": {"type": "text", "text": "today", "color": palette.ink, "baseline": "bottom", "dy": -12},
            "encoding": {"x": {"datum": today, **when}, "y": {"value": 0}},
        },
        _events(shape.events, when, palette),
    ]
    return picture([_felt(shape, row, one) for row, one in enumerate(shape.work)], layers, {"step": 22})


def _felt(shape: Season, row: int, one: Felt) -> Spec:
    done = min(one.ends_on + dt.timedelta(days=1), shape.last)
    return {
        "row": f"{row:02d} · {one.words}",
        "start": moment(max(one.starts_on, shape.first)),
        "done": moment(max(done, shape.first)),
        "back": moment(min(one.back_on, shape.last)),
        "words": felt_words(one),
    }


def felt_words(one: Felt) -> str:
    return gettext("{work}, {begun}; healed about {healed}").format(
        work=one.words, begun=day_words(one.starts_on), healed=day_words(one.back_on)
    )


def _events(events: Sequence[Mark], when: Spec, palette: Palette) -> Spec:
    """Rings above the picture."""
    values = [{"day": moment(one.day), "words": f"{day_words(one.day)}: {one.words}"} for one in events]
    return {
        "data": {"values": values},
        "mark": {"type": "point", "size": 60, "color": palette.ink, "filled": False},
        "encoding": {"x": {"field": "day", **when}, "y": {"value": -6}, **TOOLTIP},
    }


def coming(shape: Coming, palette: Palette) -> Spec:
    when: Spec = {
        "type": "temporal",
        "scale": {"type": "utc"},
        "axis": {"title": None, "format": "%a %-d %b", "labelOverlap": True, "grid": False},
    }
    up: Spec = {
        "type": "quantitative",
        "scale": {"domain": [0, 1]},
        "axis": axis_of(Written.SHARE, gettext("disturbed, percent of just cored")),
    }
    values = [
        {
            "day": moment(day),
            "to": moment(day + dt.timedelta(days=1)),
            "share": share,
            "words": f"{day_words(day)}: {percent_words(share)}",
        }
        for day, share in shape.days
    ]
    layers: list[Spec] = [
        {
            "mark": {"type": "rect", "color": palette.accent, "stroke": palette.sheet, "strokeWidth": 2},
            "encoding": {
                "x": {"field": "day", **when},
                "x2": {"field": "to"},
                "y": {"field": "share", **up},
                "y2": {"datum": 0},
                **TOOLTIP,
            },
        },
        _events(shape.events, when, palette),
    ]
    return picture(values, layers, 150)


def recovery(shape: Recovery, palette: Palette) -> Spec:
    """The healing curve with its bands; at the right, grey, the same asked of dates without work."""
    last = max((one.last_day for one in shape.windows), default=0) + 1
    across: Spec = {
        "type": "quantitative",
        "scale": {"domain": [0, last * 1.2], "nice": False},
        "axis": {
            "title": gettext("days since the work"),
            "values": sorted({0, *(one.last_day + 1 for one in shape.windows)}),
            "grid": False,
        },
    }
    up: Spec = {"type": "quantitative", "axis": axis_of(Written.GAINED, gettext("strokes a round lost"))}
    between: Spec = {"x": {"field": "from", **across}, "x2": {"field": "to"}}
    layers: list[Spec] = [
        {**ONCE, "mark": {"type": "rule", "color": palette.edge}, "encoding": {"y": {"datum": 0, **up}}},
        {
            **known("value"),
            "mark": {"type": "rect", "color": palette.band, "opacity": 1},
            "encoding": {**between, "y": {"field": "low", **up}, "y2": {"field": "high"}, **TOOLTIP},
        },
        {
            **known("value"),
            "mark": {"type": "rule", "color": palette.accent, "strokeWidth": 2.5},
            "encoding": {**between, "y": {"field": "value", **up}, **TOOLTIP},
        },
        {
            "transform": [{"filter": "!isValid(datum.value)"}],
            "mark": {"type": "text", "text": gettext("too few"), "fontStyle": "italic"},
            "encoding": {"x": {"field": "middle", **across}, "y": {"datum": 0, **up}, **TOOLTIP},
        },
    ]
    placebo = [one for one in shape.placebo if one.low is not None and one.high is not None]
    if placebo:
        layers.append(_without_work(placebo, last, across, up, palette))
    return picture([_window(one) for one in shape.windows], layers, 220)


def _without_work(placebo: Sequence[Interval], last: int, across: Spec, up: Spec, palette: Palette) -> Spec:
    """A line for each date without work, side by side beyond the last day."""
    step = last * 0.15 / len(placebo)
    values = [
        {
            "at": last * 1.04 + step * place,
            "low": one.low,
            "high": one.high,
            "words": gettext("a date without work: {strokes} ({low} to {high})").format(
                strokes=strokes_words(one.value or 0.0, within=ends(one)),
                low=strokes_words(one.low or 0.0, within=ends(one)),
                high=strokes_words(one.high or 0.0, within=ends(one)),
            ),
        }
        for place, one in enumerate(placebo)
    ]
    between: Spec = {"y": {"field": "low", **up}, "y2": {"field": "high"}}
    return {
        "data": {"values": values},
        "mark": {"type": "rule", "color": palette.edge, "strokeWidth": 2, "strokeDash": [4, 2]},
        "encoding": {"x": {"field": "at", **across}, **between, **TOOLTIP},
    }


def _window(one: Window) -> Spec:
    return {
        "from": one.first_day,
        "to": one.last_day + 1,
        "middle": (one.first_day + one.last_day + 1) / 2,
        "value": one.strokes.value,
        "low": one.strokes.low,
        "high": one.strokes.high,
        "words": window_words(one),
    }


def window_words(one: Window) -> str:
    return gettext("day {first} to {last}: {words}").format(
        first=one.first_day, last=one.last_day, words=one.words
    )


def things(shape: Things, palette: Palette) -> Spec:
    """A ring for each golfer, larger for the higher handicap; within the grey band nothing is told from nothing."""
    along: Spec = {
        "type": "quantitative",
        "scale": {"reverse": True, "zero": True},
        "axis": axis_of(Written.GAINED, gettext("← costs more · strokes · gives →")),
    }
    names: Spec = {
        "field": "name",
        "type": "nominal",
        "sort": None,
        "axis": {"title": None, "labelLimit": 260, "labelColor": palette.ink},
    }
    sizes: Spec = {
        "field": "handicap",
        "type": "ordinal",
        "scale": {"domain": list(shape.handicaps), "range": [40, 120, 240][: len(shape.handicaps)]},
        "legend": {"title": gettext("handicap"), "orient": "right"},
    }
    layers: list[Spec] = [
        {
            **ONCE,
            "mark": {"type": "rect", "color": palette.peers},
            "encoding": {"x": {"datum": -shape.unsure, **along}, "x2": {"datum": shape.unsure}},
        },
        {**ONCE, "mark": {"type": "rule", "color": palette.edge}, "encoding": {"x": {"datum": 0, **along}}},
        {
            "mark": {"type": "point", "filled": False, "color": palette.ink, "strokeWidth": 1.5},
            "encoding": {"x": {"field": "value", **along}, "y": names, "size": sizes, **TOOLTIP},
        },
    ]
    values = [
        {"name": one.what, "value": cost, "handicap": handicap, "words": thing_words(one, handicap, cost)}
        for one in shape.things
        for handicap, cost in zip(shape.handicaps, one.costs, strict=True)
    ]
    return picture(values, layers, {"step": ROW})


def thing_words(one: Thing, handicap: float, cost: float) -> str:
    return gettext("{what}, handicap {handicap}: {strokes}").format(
        what=one.what, handicap=f"{handicap:.0f}", strokes=strokes_words(cost)
    )
