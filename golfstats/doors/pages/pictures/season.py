"""The greens through a year: work with its recovery as shading, events above it, and the days to come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container

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
    words,
)
from golfstats.ground.words import day_words, percent_words, true_minus, with_marks
from players.golf.words import strokes_words
from players.pictures.shapes import Coming, Felt, Recovery, Season, Window

WIDTH, LETTER = 640, 10.5
"""Of a picture, and about of a letter of a phone."""
AXIS = 72
"""Where the days begin: right of "100 %", in the larger letters of a phone too."""


def season(shape: Season) -> SafeString:
    """One row for each piece of work, latest beginning last: solid while it is done, shaded until it is healed."""
    first, last, today, shown = shape.first, shape.last, shape.today, shape.work
    row, top = 24, 38
    height = top + row * max(len(shown), 1) + 28
    x_of = Scale(first.toordinal(), last.toordinal(), 6, WIDTH - 6)
    bottom = str(height - 26)
    parts = []
    for month in months(first, last):
        parts += [line(x_of.day(month), "20", x_of.day(month), bottom, "grid")]
        middle = month + dt.timedelta(days=15)
        if middle <= last:
            parts.append(words(x_of.day(middle), str(height - 6), date_format(month, "M"), "mid"))
    parts.append(line(x_of.day(today), "14", x_of.day(today), bottom, "zero"))
    parts.append(words(x_of.day(today), "11", gettext("today"), "mid strong"))
    for one in shape.events:
        parts.append(dot(x_of.day(one.day), "24", f"{day_words(one.day)}: {one.words}", "hollow", 4))
    parts += [_bar(one, x_of, top + row * place, first, last) for place, one in enumerate(shown)]
    return drawing(WIDTH, height, shape.title, parts, top=-8)


def _bar(one: Felt, x_of: Scale, y: int, first: dt.date, last: dt.date) -> SafeString:
    start, end = max(one.starts_on, first), min(one.ends_on + dt.timedelta(days=1), last)
    back = min(one.back_on, last)
    tooltip = gettext("{words}, {starts_on}; healed about {back_on}").format(
        words=one.words, starts_on=day_words(one.starts_on), back_on=day_words(one.back_on)
    )
    mark = format_html(
        '<g><title>{said}</title><rect x="{x}" y="{y}" width="{felt}" height="12" class="band"/>'
        '<rect x="{x}" y="{y}" width="{done}" height="12" class="value"/></g>',
        said=tooltip,
        x=x_of.day(start),
        y=y,
        felt=f"{max(float(x_of.day(back)) - float(x_of.day(start)), 2):.1f}",
        done=f"{max(float(x_of.day(max(end, start))) - float(x_of.day(start)), 3):.1f}",
    )
    right = float(x_of.day(back))
    name = words(f"{right + 5:.1f}", str(y + 10), one.words)
    if right + 5 + LETTER * len(one.words) > WIDTH:
        name = words(f"{float(x_of.day(start)) - 5:.1f}", str(y + 10), one.words, "end")
    return SafeString((linked(one.address, tooltip, mark) if one.address else mark) + name)


def coming(shape: Coming, weeks: Container[dt.date]) -> SafeString:
    """How disturbed the greens are expected to be, day by day: 100% is just cored. A date stands where a week begins.

    ``weeks``: the days on which the club's weeks begin.
    """
    days = shape.days
    height, bottom = 150, 124
    step = (WIDTH - AXIS - 6) / len(days)
    y_of = Scale(0, 1, bottom, 26)
    on = {one.day: one.words for one in shape.events}
    parts = []
    for tick in (0.0, 0.5, 1.0):
        parts += [line(str(AXIS), y_of.at(tick), str(WIDTH - 6), y_of.at(tick), "grid")]
        parts += [words(str(AXIS - 6), f"{float(y_of.at(tick)) + 3.5:.1f}", percent_words(tick), "end")]
    for place, (day, share) in enumerate(days):
        x = AXIS + step * place
        parts.append(
            format_html(
                '<g><title>{}: {}</title><rect x="{}" y="{}" width="{}" height="{}" class="{}"/></g>',
                day_words(day),
                percent_words(share),
                f"{x + 1.5:.1f}",
                y_of.at(share),
                f"{step - 3:.1f}",
                f"{bottom - float(y_of.at(share)):.1f}",
                "value" if place == 0 else "band",
            )
        )
        if day in on:
            parts.append(dot(f"{x + step / 2:.1f}", "16", f"{day_words(day)}: {on[day]}", "hollow", 4))
        if day in weeks and x < WIDTH - 80:
            parts.append(line(f"{x:.1f}", "26", f"{x:.1f}", str(bottom + 6), "grid"))
            parts.append(
                words(
                    f"{x + 1:.1f}", str(height - 8), f"{date_format(day, 'D')} {day_words(day, year=False)}"
                )
            )
    return drawing(WIDTH, height, shape.title, parts)


def recovery(shape: Recovery) -> SafeString:
    """Strokes a round by days since the work, each with its interval; grey behind: the same asked of days without
    work, which shows how large mere chance is here.
    """
    windows, placebo = shape.windows, shape.placebo
    known = [one for one in windows if one.strokes.value is not None]
    if not known:
        return NOTHING
    room = Span.of_intervals([*(one.strokes for one in known), *placebo])
    height, bottom = 210, 176
    y_of = Scale(room.low, room.high, bottom, 14)
    last = max(one.last_day for one in windows)
    x_of = Scale(0, last + 1, 52, WIDTH - 90)
    parts = []
    for tick in room.ticks(5):
        parts += [line("48", y_of.at(tick), str(WIDTH - 8), y_of.at(tick), "zero" if tick == 0 else "grid")]
        parts += [
            words("42", f"{float(y_of.at(tick)) + 3.5:.1f}", with_marks(true_minus(f"{tick:g}")), "end")
        ]
    for place, one in enumerate(placebo):
        if one.low is not None and one.high is not None:
            x = f"{WIDTH - 70 + 12 * place:.1f}"
            parts.append(line(x, y_of.at(one.low), x, y_of.at(one.high), "placebo"))
    if placebo:
        parts.append(words(str(WIDTH - 4), "12", gettext("without work"), "end"))
    for window in known:
        parts.append(_window(window, x_of, y_of))
        middle = (window.first_day + window.last_day + 1) / 2
        label = gettext("day {first_day}–{last_day}").format(
            first_day=window.first_day, last_day=window.last_day
        )
        parts.append(words(x_of.at(middle), str(height - 10), label, "mid"))
    return drawing(WIDTH, height, shape.title, parts, top=-8)


def _window(one: Window, x_of: Scale, y_of: Scale) -> SafeString:
    low, high, value = one.strokes.low, one.strokes.high, one.strokes.value
    if low is None or high is None or value is None:
        return NOTHING
    left, right = float(x_of.at(one.first_day)), float(x_of.at(one.last_day + 1))
    top, bottom = float(y_of.at(high)), float(y_of.at(low))
    return format_html(
        "<g><title>{}</title>"
        '<rect x="{}" y="{}" width="{}" height="{}" class="band"/>'
        '<line x1="{}" x2="{}" y1="{y}" y2="{y}" class="level"/></g>',
        gettext("day {first} to {last}: {value} ({low} to {high}) strokes a round").format(
            first=one.first_day,
            last=one.last_day,
            value=strokes_words(value, within=(low, high)),
            low=strokes_words(low, within=(low, high)),
            high=strokes_words(high, within=(low, high)),
        ),
        f"{left + 2:.1f}",
        f"{top:.1f}",
        f"{right - left - 4:.1f}",
        f"{bottom - top:.1f}",
        f"{left + 2:.1f}",
        f"{right - 2:.1f}",
        y=y_of.at(value),
    )
