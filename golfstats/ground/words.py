"""How the service says things: counts, signed numbers, a handicap index, notices. One place for every door."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

UNOFFICIAL = "Unofficial: only an authorised association issues a Handicap Index."


def counted(n: int, what: str) -> str:
    """``1 fault``, ``2 faults``, ``1,200 putts``."""
    return f"{n:,} {what}" if n == 1 else f"{n:,} {what}s"


def day_words(day: dt.date, *, year: bool = True) -> str:
    """``14 Nov 2026``, or ``14 Nov``."""
    return f"{day.day} {day:%b %Y}" if year else f"{day.day} {day:%b}"


def true_minus(number: object) -> str:
    """A number as it is written, its hyphen made a minus sign."""
    return str(number).replace("-", "−")


def signed_number(value: float, decimals: int, *, plus: bool = False) -> str:
    """A number with a true minus sign; with ``plus`` also a plus. Zero has no sign."""
    text = f"{value:+.{decimals}f}" if plus else f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("+-")
    return true_minus(text)


def a_golfer(benchmark: str) -> str:
    """The golfer compared with, within a sentence: ``a woman of handicap 10``; several stay ``peers``."""
    name = benchmark[:1].lower() + benchmark[1:]
    return name if name.endswith("s") else f"a {name}"


def index_words(index: Decimal | float | str | None) -> str:
    """A handicap index to a tenth, better than scratch with a plus; a dash where there is none."""
    if index is None:
        return "–"
    text = str(index)
    number = -float(text) if text.startswith("+") else float(text)
    return f"+{-number:.1f}" if round(number, 1) < 0 else f"{abs(number):.1f}"
