"""What lies on a hole, and what it costs golfers of three handicaps: a row a thing, better to the right."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.doors.pages.pictures.frame import Scale, Span, drawing, line, words
from players.golf.words import strokes_words
from players.pictures.green_subjects import THE_GRID
from players.pictures.shapes import Thing, Things

WIDTH, LABELS, RIGHT, ROW, TOP, FOOT = 360, 176, 12, 26, 22, 22
RADII = (3.0, 5.0, 7.0)


def span_of(things: Sequence[Thing]) -> Span:
    """One scale for all the holes of a course."""
    return Span.of([cost for one in things for cost in one.costs] + [THE_GRID, -THE_GRID])


def hole_costs(shape: Things, span: Span) -> SafeString:
    """Larger marks are higher handicaps. What stands within the band cannot be told from nothing."""
    things, handicaps = shape.things, shape.handicaps
    x_of = Scale(span.high, span.low, LABELS, WIDTH - RIGHT)  # what costs more lies to the left
    height = TOP + ROW * len(things) + FOOT
    bottom = height - FOOT
    left, right = float(x_of.at(shape.unsure)), float(x_of.at(-shape.unsure))
    parts = [
        format_html(
            '<rect x="{}" y="{}" width="{}" height="{}" class="peers"/>',
            left,
            TOP,
            f"{right - left:.1f}",
            bottom - TOP,
        ),
        words(str(LABELS), "13", gettext("← costs more"), "aside"),
        words(str(WIDTH - RIGHT), "13", gettext("gives →"), "end aside"),
    ]
    for tick in span.ticks(4):
        kind = "zero" if tick == 0 else "grid"
        parts.append(line(x_of.at(tick), str(TOP), x_of.at(tick), str(bottom), kind))
        parts.append(words(x_of.at(tick), str(height - 6), strokes_words(tick), "mid"))
    for place, one in enumerate(things):
        parts.append(_row(one, handicaps, x_of, TOP + ROW * (place + 0.5)))
    return drawing(WIDTH, height, shape.title, parts, "small")


def _row(one: Thing, handicaps: Sequence[float], x_of: Scale, y: float) -> SafeString:
    marks = SafeString("").join(
        format_html(
            '<circle cx="{}" cy="{}" r="{}" class="hollow"><title>{}, handicap {}: {}</title></circle>',
            x_of.at(cost),
            y,
            radius,
            one.what,
            f"{handicap:.0f}",
            strokes_words(cost),
        )
        for cost, handicap, radius in reversed(list(zip(one.costs, handicaps, RADII, strict=True)))
    )
    joined = line(x_of.at(max(one.costs)), f"{y}", x_of.at(min(one.costs)), f"{y}", "bar")
    return SafeString(words(str(LABELS - 10), f"{y + 4}", one.what, "end strong") + joined + marks)
