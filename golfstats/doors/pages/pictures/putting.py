"""Putts holed by distance, on a square-root axis, where short putts have the room that they need."""

from __future__ import annotations

import math

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.doors.pages.pictures.frame import NOTHING, Scale, dot, drawing, line, path, words
from golfstats.ground.words import percent_words
from players.pictures.shapes import Curve, Holed

WIDTH, HEIGHT = 640, 260
LEFT, RIGHT = 72, 12
"""Room for ``100%`` in the larger letters of a phone."""


def make_curve(curve: Curve) -> SafeString:
    unit, benchmark = curve.unit, curve.benchmark
    known = [one for one in curve.bands if one.n > 0]
    if not known:
        return NOTHING
    x_of = Scale(0, math.sqrt(max(one.farthest for one in known)), LEFT, WIDTH - RIGHT)
    y_of = Scale(0, 1, HEIGHT - 30, 30)  # beneath the key
    parts = []
    for tick in (0.0, 0.25, 0.5, 0.75, 1.0):
        parts += [line(str(LEFT), y_of.at(tick), str(WIDTH - RIGHT), y_of.at(tick), "grid")]
        parts += [words(str(LEFT - 6), f"{float(y_of.at(tick)) + 3.5:.1f}", percent_words(tick), "end")]
    *edges, last = sorted({0.0, *(one.nearest for one in known), known[-1].farthest})
    parts += [words(x_of.at(math.sqrt(edge)), str(HEIGHT - 8), f"{edge:g}", "mid") for edge in edges]
    parts.append(words(str(WIDTH - RIGHT), str(HEIGHT - 8), f"{last:g} {unit}", "end"))
    named = [(x_of.at(_middle(one)), y_of.at(one.benchmark)) for one in known if one.benchmark is not None]
    own = [(x_of.at(_middle(one)), y_of.at(one.own)) for one in known if one.own is not None]
    parts.append(format_html('<path d="{}" class="aim"/>', path(named)))
    parts.append(format_html('<path d="{}" class="level"/>', path(own)))
    parts.append(
        words(
            str(WIDTH - RIGHT),
            "12",
            gettext("own line and pace ——   {benchmark} - - -").format(benchmark=benchmark),
            "end",
        )
    )
    parts += [_share(one, x_of, y_of, unit) for one in known]
    return drawing(WIDTH, HEIGHT, curve.title, parts, top=-8)


def _middle(one: Holed) -> float:
    return (math.sqrt(one.nearest) + math.sqrt(one.farthest)) / 2


def _share(one: Holed, x_of: Scale, y_of: Scale, unit: str) -> SafeString:
    x, share = x_of.at(_middle(one)), one.share
    if share.value is None or share.low is None or share.high is None:
        return NOTHING
    tooltip = gettext("{nearest}–{farthest} {unit}: {value} of {n}").format(
        nearest=f"{one.nearest:g}",
        farthest=f"{one.farthest:g}",
        unit=unit,
        value=percent_words(share.value),
        n=one.n,
    )
    return SafeString(
        line(x, y_of.at(share.low), x, y_of.at(share.high), "bar")
        + dot(x, y_of.at(share.value), tooltip, "value", 4.5)
    )
