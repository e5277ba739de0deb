"""What every picture needs: scales, places, and the drawing around them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from players.pictures.shapes import Interval

NOTHING = SafeString("")


@dataclass(frozen=True)
class Scale:
    """From values to places along an edge of the drawing; ``to`` may be below ``start``, as heights are."""

    low: float
    high: float
    start: float
    to: float

    def at(self, value: float) -> str:
        share = (value - self.low) / ((self.high - self.low) or 1.0)
        return place(self.start + share * (self.to - self.start))

    def day(self, day: dt.date) -> str:
        return self.at(day.toordinal())


@dataclass(frozen=True)
class Span:
    """Smallest and largest of what has to find room on a scale."""

    low: float
    high: float

    @classmethod
    def of(cls, values: Iterable[float | None], *, zero: bool = False, room: float = 0.05) -> Span:
        known = [value for value in values if value is not None] + ([0.0] if zero else [])
        low, high = (min(known), max(known)) if known else (0.0, 1.0)
        free = (high - low or 1.0) * room
        return cls(low - free, high + free)

    @classmethod
    def of_intervals(cls, figures: Iterable[Interval]) -> Span:
        return cls.of((edge for one in figures for edge in (one.value, one.low, one.high)), zero=True)

    def ticks(self, most: int = 5) -> list[float]:
        """Round numbers, no more than so many and one."""
        step = 10 ** math.floor(math.log10((self.high - self.low) / most or 1.0))
        step *= next((m for m in (1, 2, 5, 10) if (self.high - self.low) / (step * m) <= most), 10)
        first = math.ceil(self.low / step)
        return [round(step * n, 9) for n in range(first, math.floor(self.high / step) + 1)]


def place(number: float) -> str:
    return f"{number:.1f}"


def path(points: Sequence[tuple[str, str]], *, closed: bool = False) -> str:
    if not points:
        return ""
    return "M" + " L".join(f"{x} {y}" for x, y in points) + ("Z" if closed else "")


def drawing(
    width: int,
    height: int,
    title: str,
    parts: Iterable[SafeString],
    size: str = "",
    top: int = 0,
    cut: int = 0,
) -> SafeString:
    """The whole as one image with a name. Its parts may be links, which a single image could not have.

    It begins at ``top``, where what lies above would be empty, and ends at ``height`` less ``cut``.
    """
    inside = SafeString("".join(parts))
    role = SafeString("group" if "<a " in inside else "img")
    return format_html(
        '<svg viewBox="0 {} {} {}" role="{}" aria-label="{}" class="drawn{}">{}</svg>',
        top,
        width,
        height - top - cut,
        role,
        title,
        f" {size}" if size else "",
        inside,
    )


def line(x1: str, y1: str, x2: str, y2: str, kind: str) -> SafeString:
    return format_html('<line x1="{}" y1="{}" x2="{}" y2="{}" class="{}"/>', x1, y1, x2, y2, kind)


def words(x: str, y: str, text: str, kind: str = "") -> SafeString:
    return format_html('<text x="{}" y="{}" class="{}">{}</text>', x, y, kind, text)


def dot(x: str, y: str, tooltip: str, kind: str = "dot", radius: float = 3.0) -> SafeString:
    """A mark that says its numbers when it is pointed at."""
    return format_html(
        '<circle cx="{}" cy="{}" r="{}" class="{}"><title>{}</title></circle>', x, y, radius, kind, tooltip
    )


def linked(address: str, name: str, inside: SafeString) -> SafeString:
    return format_html('<a href="{}" aria-label="{}">{}</a>', address, name, inside)


def months(first: dt.date, last: dt.date) -> list[dt.date]:
    """The first days of the months between two days."""
    ticks: list[dt.date] = []
    year, month = first.year, first.month
    while True:
        month += 1
        if month > 12:
            year, month = year + 1, 1
        day = dt.date(year, month, 1)
        if day > last:
            return ticks
        ticks.append(day)
