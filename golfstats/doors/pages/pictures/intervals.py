"""Figures with their intervals as rows on one axis, and single ones in a table's cell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from golfstats.doors.pages.pictures.frame import NOTHING, Interval, Scale, Span, drawing, line, words

WIDTH, LABELS, RIGHT, ROW, TOP, FOOT = 640, 170, 16, 34, 22, 24


@dataclass(frozen=True)
class Row:
    """One figure of a picture. ``kind`` is the class of its bar: a part of the game has a hue of its own."""

    name: str
    figure: Interval
    kind: str = "bar"
    peers: tuple[float, float] | None = None
    """The spread of others, drawn behind."""
    said: str = ""


def rows_on_one_axis(
    title: str,
    rows: Sequence[Row],
    written: Callable[[float], str],
    *,
    zero: str = "",
    low: str = "",
    high: str = "",
    whole: Span | None = None,
) -> SafeString:
    """``zero`` names what stands at zero; ``low`` and ``high`` say what it means to lie left and right of it, and
    ``whole`` is the axis where it is not to be cut to what is shown, as for shares.

    A figure below its minimum is a hollow mark without a place; nothing is drawn where every one is.
    """
    known = [one for one in rows if one.figure.value is not None]
    if not known:
        return NOTHING
    edges = [x for one in known for x in (one.figure.value, one.figure.low, one.figure.high)]
    edges += [x for one in known for x in one.peers or ()]
    room = whole or Span.of(edges, zero=bool(zero))
    x_of = Scale(room.low, room.high, LABELS, WIDTH - RIGHT)
    height = TOP + ROW * len(rows) + FOOT
    bottom = str(height - FOOT)
    parts = []
    for tick in room.ticks(6):
        parts += [
            line(x_of.at(tick), str(TOP), x_of.at(tick), bottom, "zero" if zero and tick == 0 else "grid")
        ]
        parts += [words(x_of.at(tick), str(height - 8), written(tick), "mid")]
    if zero:
        parts.append(words(x_of.at(0), "12", zero, "mid strong"))
    if low:
        parts.append(words(str(LABELS), "12", f"← {low}", "aside"))
    if high:
        parts.append(words(str(WIDTH - RIGHT), "12", f"{high} →", "end aside"))
    parts += [_row(one, x_of, TOP + ROW * place + ROW / 2) for place, one in enumerate(rows)]
    return drawing(WIDTH, height, title, parts)


def _row(one: Row, x_of: Scale, y: float) -> SafeString:
    name = words(str(LABELS - 10), f"{y + 4:.1f}", one.name, "end strong")
    figure = one.figure
    if figure.value is None or figure.low is None or figure.high is None:
        return SafeString(name + words(str(LABELS + 6), f"{y + 4:.1f}", "too few"))
    peers = NOTHING
    if one.peers is not None:
        low, high = (float(x_of.at(edge)) for edge in one.peers)
        peers = format_html(
            '<rect x="{}" y="{}" width="{}" height="22" class="peers"/>', low, y - 11, f"{high - low:.1f}"
        )
    mark = format_html(
        '<g><title>{said}</title><line x1="{low}" x2="{high}" y1="{y}" y2="{y}" class="{kind}"/>'
        '<circle cx="{value}" cy="{y}" r="5" class="value"/></g>',
        said=one.said or one.name,
        low=x_of.at(figure.low),
        high=x_of.at(figure.high),
        value=x_of.at(figure.value),
        y=f"{y:.1f}",
        kind=one.kind,
    )
    return SafeString(peers + name + mark)


def in_a_cell(figure: Interval, span: Span, kind: str = "bar") -> SafeString:
    """An estimate on a line: the dot is the value, the bar its interval, the upright line zero.

    The numbers stand beside it, so it says nothing to a screen reader.
    """
    if figure.value is None or figure.low is None or figure.high is None:
        return NOTHING
    x_of = Scale(span.low, span.high, 5, 115)
    return format_html(
        '<svg viewBox="0 0 120 16" class="interval" aria-hidden="true">'
        '<line x1="{zero}" x2="{zero}" y1="1" y2="15" class="zero"/>'
        '<line x1="{low}" x2="{high}" y1="8" y2="8" class="{kind}"/>'
        '<circle cx="{value}" cy="8" r="3.5" class="value"/></svg>',
        zero=x_of.at(0.0),
        low=x_of.at(figure.low),
        high=x_of.at(figure.high),
        value=x_of.at(figure.value),
        kind=kind,
    )
