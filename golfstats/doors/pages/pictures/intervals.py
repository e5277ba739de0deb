"""Figures with their intervals as rows on one axis, and single ones in a table's cell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.doors.pages.pictures.frame import NOTHING, Scale, Span, drawing, line, place, words
from golfstats.doors.pages.pictures.writing import writer
from players.pictures import shapes
from players.pictures.shapes import Interval, Row

WIDTH, EDGE, TOP, FOOT = 640, 16, 22, 24
LETTER = 11.5
"""About the width of a letter on a phone, where they are largest, to see whether words would stand on each other."""
OWN_LINE = 21
"""How much higher a picture is whose zero is named beneath what lies left and right of it."""
SHARES = Span(0.0, 1.0)
BESIDE_MOST = 15
"""Letters of a name that find room beside its bar, also in the larger letters of a phone."""


@dataclass(frozen=True)
class Rows:
    """Where names and bars of the rows stand: names beside the bars, or above them if one is long."""

    left: float
    height: float
    above: bool

    @classmethod
    def of(cls, names: Sequence[str]) -> Rows:
        if max(map(len, names)) > BESIDE_MOST:
            return cls(left=EDGE, height=48, above=True)
        return cls(left=184, height=34, above=False)

    def named(self, name: str, y: float) -> SafeString:
        """The name of the row whose bar is at ``y``."""
        if self.above:
            return words(place(self.left), place(y - 14), name, "strong")
        return words(place(self.left - 10), place(y + 4), name, "end strong")

    def bar(self, number: int, top: float) -> float:
        return top + self.height * number + (self.height * 0.7 if self.above else self.height / 2)


def drawn(shape: shapes.Rows) -> SafeString:
    return rows_on_one_axis(
        shape.title,
        shape.rows,
        writer(shape.written, shape.unit),
        zero=shape.zero,
        low=shape.low,
        high=shape.high,
        whole=SHARES if shape.is_share else None,
    )


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
    room = whole or Span.of(edges, zero=bool(zero))
    stand = Rows.of([one.name for one in rows])
    x_of = Scale(room.low, room.high, stand.left, WIDTH - EDGE)
    heads, top = _heads(x_of, zero, low, high)
    height = int(top + stand.height * len(rows) + FOOT)
    parts = heads
    for tick in room.ticks(6):
        kind = "zero" if zero and tick == 0 else "grid"
        parts.append(line(x_of.at(tick), place(top), x_of.at(tick), str(height - FOOT), kind))
        anchor = "end" if float(x_of.at(tick)) > WIDTH - 2 * EDGE else "mid"
        parts.append(words(x_of.at(tick), str(height - 8), written(tick), anchor))
    parts += [_row(one, x_of, stand, stand.bar(number, top)) for number, one in enumerate(rows)]
    # Letters are larger on a phone: room for the first line above it.
    return drawing(WIDTH, height, title, parts, top=-8)


def _heads(x_of: Scale, zero: str, low: str, high: str) -> tuple[list[SafeString], float]:
    """What stands above the rows, and where they begin: the name of zero has a line of its own where it would
    stand on what lies left and right of it.
    """
    parts = []
    if low:
        parts.append(words(place(x_of.start), "12", f"← {low}", "aside"))
    if high:
        parts.append(words(place(x_of.to), "12", f"{high} →", "end aside"))
    if not zero:
        return parts, TOP
    middle, half = float(x_of.at(0)), LETTER * len(zero) / 2
    left = x_of.start + LETTER * (len(low) + 3) if low else x_of.start
    right = x_of.to - LETTER * (len(high) + 3) if high else x_of.to
    own_line = bool(low or high) and (middle - half < left or middle + half > right)
    anchor = "end" if middle > WIDTH - 120 else "mid" if middle > 120 else ""
    parts.append(
        words(
            place(middle),
            str(12 + OWN_LINE) if own_line else "12",
            zero,
            f"{anchor} strong".strip(),
        )
    )
    return parts, TOP + OWN_LINE if own_line else TOP


def _row(one: Row, x_of: Scale, stand: Rows, y: float) -> SafeString:
    name = stand.named(one.name, y)
    figure = one.figure
    if figure.value is None or figure.low is None or figure.high is None:
        return SafeString(name + words(place(stand.left + 6), place(y + 4), gettext("too few")))
    mark = format_html(
        '<g><title>{said}</title><line x1="{low}" x2="{high}" y1="{y}" y2="{y}" class="{kind}"/>'
        '<circle cx="{value}" cy="{y}" r="5" class="value"/></g>',
        said=one.words or one.name,
        low=x_of.at(figure.low),
        high=x_of.at(figure.high),
        value=x_of.at(figure.value),
        y=f"{y:.1f}",
        kind=one.kind,
    )
    return SafeString(name + mark)


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
