"""The marks of pictures of a plan: how likely each score is, and a round in parts."""

from __future__ import annotations

import math

from django.utils.text import capfirst
from django.utils.translation import gettext

from golfstats.ground.words import percent_words
from players.golf.words import strokes_words
from players.pictures.colours import Palette
from players.pictures.layers import ONCE, TOOLTIP, WIDTH, Spec, axis_of, picture
from players.pictures.shapes import Chances, Scatter, Stack, Stacks, Written


def chances(shape: Chances, palette: Palette) -> Spec:
    """A bar for each score, those that meet the target darker; beneath, where nine rounds in ten end."""
    across: Spec = {"type": "quantitative", "scale": {"zero": False, "nice": False}}
    at: Spec = {**across, "axis": {"title": "strokes", "format": "d", "tickMinStep": 1, "grid": False}}
    up: Spec = {"type": "quantitative", "axis": axis_of(Written.SHARE, "chance")}
    layers: list[Spec] = [
        {
            "mark": {"type": "rect", "color": palette.accent},
            "encoding": {
                "x": {"field": "from", **at},
                "x2": {"field": "to"},
                "y": {"field": "value", **up},
                "y2": {"datum": 0},
                "opacity": {"condition": {"test": "datum.met", "value": 0.9}, "value": 0.4},
                **TOOLTIP,
            },
        },
        {
            **ONCE,
            "mark": {"type": "rule", "color": palette.ink, "strokeWidth": 3},
            "encoding": {
                "x": {"datum": shape.low - 0.5, **at},
                "x2": {"datum": shape.high + 0.5},
                "y": {"datum": 0, **up},
            },
        },
    ]
    if shape.target is not None:
        edge: Spec = {"x": {"datum": shape.target + 0.5, **at}}
        rule: Spec = {"type": "rule", "color": palette.ink, "strokeDash": [4, 3]}
        words: Spec = {
            "type": "text",
            "text": gettext("target {target}").format(target=shape.target),
            "color": palette.ink,
            "dy": -8,
        }
        layers += [
            {**ONCE, "mark": rule, "encoding": edge},
            {**ONCE, "mark": words, "encoding": {**edge, "y": {"value": 0}}},
        ]
    values = [
        {
            "from": score - 0.43,
            "to": score + 0.43,
            "value": chance,
            "met": shape.target is not None and score <= shape.target,
            "words": f"{score}: {percent_words(chance)}",
        }
        for score, chance in shape.scores
    ]
    return picture(values, layers, 180)


POINTS = 48
"""Of an ellipse."""


def scatter(shape: Scatter, palette: Palette) -> Spec:
    """The aim in the middle, the ellipses of half and of nine in ten shots about it, the sides with their costs.

    Both axes have the same yards, right and long positive.
    """
    reach = max(*shape.most, 1.0) * 1.5
    axis: Spec = {"type": "quantitative", "scale": {"domain": [-reach, reach], "nice": False}}
    x: Spec = {
        "field": "x",
        **axis,
        "axis": {"title": gettext("yards left and right of the aim"), "tickCount": 5},
    }
    y: Spec = {"field": "y", **axis, "axis": {"title": gettext("yards short and long"), "tickCount": 5}}
    layers: list[Spec] = [
        {
            "data": {"values": _ellipse(axes)},
            "mark": {"type": "line", "color": palette.accent, "strokeWidth": wide},
            "encoding": {"x": x, "y": y, "order": {"field": "order", "type": "quantitative"}},
        }
        for axes, wide in ((shape.most, 1.5), (shape.half, 3))
    ]
    layers += [
        {
            **ONCE,
            "mark": {"type": "point", "shape": "cross", "size": 120, "color": palette.ink, "filled": True},
            "encoding": {"x": {"datum": 0, **axis}, "y": {"datum": 0, **axis}},
        },
        {
            "mark": {"type": "text", "color": palette.ink, "fontSize": 12, "limit": 130},
            "encoding": {"x": x, "y": y, "text": {"field": "written", "type": "nominal"}, **TOOLTIP},
        },
    ]
    across, along = (most * 1.22 for most in shape.most)
    places = {"left": (-across, 0.0), "right": (across, 0.0), "long": (0.0, along), "short": (0.0, -along)}
    values = [
        {
            "name": one.name,
            "x": places[one.name][0],
            "y": places[one.name][1],
            "written": f"{one.name} {one.cost}".strip(),
            "words": one.words,
        }
        for one in shape.sides
    ]
    return picture(values, layers, 360, 360)


def _ellipse(axes: tuple[float, float]) -> list[Spec]:
    across, along = axes
    turns = [2 * math.pi * step / POINTS for step in range(POINTS + 1)]
    return [
        {"order": order, "x": round(across * math.cos(turn), 2), "y": round(along * math.sin(turn), 2)}
        for order, turn in enumerate(turns)
    ]


def stacks(shape: Stacks, palette: Palette) -> Spec:
    """Gains above zero, losses below; the parts have the four hues, a legend and their words."""
    parts = [gettext(part) for part in shape.stacks[0].parts] if shape.stacks else []
    hues = [palette.tee, palette.approach, palette.short_game, palette.putting]
    values = [
        {"name": one.name, "part": gettext(part), "value": value, "words": stack_words(shape, one, part)}
        for one in shape.stacks
        for part, value in one.parts.items()
    ]
    return {
        "width": WIDTH,
        "height": 220,
        "data": {"values": values},
        "mark": {"type": "bar", "stroke": palette.sheet},
        "encoding": {
            "x": {
                "field": "name",
                "type": "ordinal",
                "sort": None,
                "axis": {"title": gettext(shape.across), "labelAngle": 0},
            },
            "y": {
                "field": "value",
                "type": "quantitative",
                "axis": axis_of(
                    Written.GAINED, gettext("{unit} gained").format(unit=gettext(shape.unit.value))
                ),
            },
            "color": {
                "field": "part",
                "type": "nominal",
                "scale": {"domain": parts, "range": hues[: len(parts)]},
                "legend": {"orient": "top", "title": None},
            },
            **TOOLTIP,
        },
    }


def stack_words(shape: Stacks, one: Stack, part: str) -> str:
    return f"{capfirst(gettext(shape.across))} {one.name}, {gettext(part)}: {strokes_words(one.parts[part])}"
