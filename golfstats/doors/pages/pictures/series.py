"""A figure over time: rounds as dots, the level with its 90% band, marks of what happened meanwhile."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.doors.pages.pictures.frame import (
    NOTHING,
    Scale,
    Span,
    dot,
    drawing,
    line,
    linked,
    months,
    path,
    words,
)
from golfstats.doors.pages.pictures.writing import writer
from golfstats.ground.words import day_words
from players.golf.words import number_words
from players.pictures.shapes import Mark, Point, Series, Written

WIDTH, HEIGHT = 640, 220
LEFT, RIGHT, TOP, BOTTOM = 58, 10, 16, 34


def drawn(shape: Series) -> SafeString:
    gained = shape.written is Written.GAINED
    return over_time(
        shape.title,
        shape.points,
        lambda value: number_words(value, shape.unit, signed=gained),
        downwards=shape.downwards,
        marks=shape.marks,
        aim=shape.aim,
        named=0.0 if shape.zero else None,
        ticks=writer(shape.written) if gained else None,
    )


def over_time(
    title: str,
    points: Sequence[Point],
    written: Callable[[float], str],
    *,
    downwards: bool = False,
    marks: Sequence[Mark] = (),
    aim: float | None = None,
    named: float | None = None,
    ticks: Callable[[float], str] | None = None,
) -> SafeString:
    """Nothing below two points. ``downwards`` puts small values on top, so that better is up; ``named`` is the
    value of the golfer compared with, ``aim`` that of a goal.
    """
    if len(points) < 2:
        return NOTHING
    y_of, x_of = _scales(points, downwards=downwards, also=[aim, named])
    left, right = str(LEFT), str(WIDTH - RIGHT)
    parts = []
    for tick in Span(min(y_of.low, y_of.high), max(y_of.low, y_of.high)).ticks(4):
        parts += [line(left, y_of.at(tick), right, y_of.at(tick), "grid")]
        parts += [words(str(LEFT - 6), _below(y_of.at(tick)), (ticks or written)(tick), "end")]
    parts += _calendar(points[0].day, points[-1].day, x_of)
    parts += [_band(points, x_of, y_of)]
    if named is not None:
        parts.append(line(left, y_of.at(named), right, y_of.at(named), "zero"))
    if aim is not None:
        parts.append(line(left, y_of.at(aim), right, y_of.at(aim), "aim"))
        parts.append(
            words(
                right,
                str(float(y_of.at(aim)) - 4),
                gettext("goal {aim}").format(aim=written(aim)),
                "end strong",
            )
        )
    for mark in marks:
        if points[0].day <= mark.day <= points[-1].day:
            parts.append(_mark(mark, x_of))
    parts += [_seen(one, x_of, y_of, written) for one in points if one.value is not None]
    return drawing(WIDTH, HEIGHT, _described(title, points, written), parts)


def spark(title: str, points: Sequence[Point], span: Span | None = None) -> SafeString:
    """The same in a line's height, for a row of many: the level with its band, the last value as a dot.

    ``span`` is common to the rows. Zero, the golfer compared with, is a line.
    """
    known = [one for one in points if one.level is not None]
    if len(known) < 2:
        return NOTHING
    room = span or Span.of([0.0, *(x for one in known for x in (one.low, one.high))])
    y_of = Scale(room.low, room.high, 33, 2)
    x_of = Scale(known[0].day.toordinal(), known[-1].day.toordinal(), 2, 130)
    last = known[-1]
    parts = [_band(known, x_of, y_of)]
    if room.low <= 0 <= room.high:
        parts.insert(0, line("0", y_of.at(0), "136", y_of.at(0), "zero"))
    parts.append(dot(x_of.day(last.day), y_of.at(last.level or 0.0), title, "value", 2.6))
    return format_html(
        '<svg viewBox="0 0 136 35" class="spark" role="img" aria-label="{}">{}</svg>',
        title,
        SafeString("".join(parts)),
    )


def _scales(points: Sequence[Point], *, downwards: bool, also: Sequence[float | None]) -> tuple[Scale, Scale]:
    room = Span.of([*also, *(x for one in points for x in (one.value, one.level, one.low, one.high))])
    top, bottom = (TOP, HEIGHT - BOTTOM)
    y_of = Scale(room.low, room.high, *((top, bottom) if downwards else (bottom, top)))
    first, last = points[0].day.toordinal(), points[-1].day.toordinal()
    return y_of, Scale(first, max(last, first + 1), LEFT + 4, WIDTH - RIGHT - 4)


def _band(points: Sequence[Point], x_of: Scale, y_of: Scale) -> SafeString:
    known = [
        (x_of.day(one.day), one.level, one.low, one.high)
        for one in points
        if one.level is not None and one.low is not None and one.high is not None
    ]
    if not known:
        seen = [(x_of.day(one.day), y_of.at(one.value)) for one in points if one.value is not None]
        return format_html('<path d="{}" class="level"/>', path(seen))
    upper = [(x, y_of.at(high)) for x, _, _, high in known if high is not None]
    lower = [(x, y_of.at(low)) for x, _, low, _ in reversed(known) if low is not None]
    level = [(x, y_of.at(value)) for x, value, _, _ in known if value is not None]
    return format_html(
        '<path d="{}" class="band"/><path d="{}" class="level"/>',
        path(upper + lower, closed=True),
        path(level),
    )


def _seen(one: Point, x_of: Scale, y_of: Scale, written: Callable[[float], str]) -> SafeString:
    assert one.value is not None  # noqa: S101 - only points with a value are drawn
    tooltip = f"{day_words(one.day)}: {written(one.value)}"
    mark = dot(x_of.day(one.day), y_of.at(one.value), tooltip)
    return linked(one.address, tooltip, mark) if one.address else mark


def _mark(mark: Mark, x_of: Scale) -> SafeString:
    x = x_of.day(mark.day)
    return format_html(
        '<g><title>{}: {}</title><line x1="{x}" x2="{x}" y1="{top}" y2="{bottom}" class="work"/></g>',
        day_words(mark.day),
        mark.words,
        x=x,
        top=HEIGHT - BOTTOM - 10,
        bottom=HEIGHT - BOTTOM,
    )


def _calendar(first: dt.date, last: dt.date, x_of: Scale) -> list[SafeString]:
    below = str(HEIGHT - 8)
    begun = months(first, last)
    every = max(1, len(begun) // 6 + (len(begun) % 6 > 0))
    shown = begun[::every]
    if len(shown) < 2:
        return [
            words(str(LEFT), below, day_words(first)),
            words(str(WIDTH - RIGHT), below, day_words(last), "end"),
        ]
    return [
        words(
            x_of.day(day), below, date_format(day, "M Y" if day.month == 1 or day == shown[0] else "M"), "mid"
        )
        for day in shown
    ]


def _below(y: str) -> str:
    return str(float(y) + 3.5)


def _described(title: str, points: Sequence[Point], written: Callable[[float], str]) -> str:
    def best(one: Point) -> str:
        value = one.value if one.level is None else one.level
        return "–" if value is None else written(value)

    first, last = points[0], points[-1]
    return gettext("{title}, {points} points from {first_day} ({first}) to {last_day} ({last})").format(
        title=title,
        points=len(points),
        first_day=day_words(first.day),
        first=best(first),
        last_day=day_words(last.day),
        last=best(last),
    )
