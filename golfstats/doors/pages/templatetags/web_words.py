"""How pages write numbers."""

from __future__ import annotations

from typing import Any

from django import template

from golfstats.doors.pages.shown import gain as gain_words
from golfstats.ground.words import counted as counted_words
from golfstats.ground.words import true_minus

register = template.Library()


@register.filter
def gain(value: float | str | None) -> str:
    """Strokes gained; a round without them has none by part either, which a template gives as ""."""
    return gain_words(None if isinstance(value, str) else value)


@register.filter
def strokes(value: float | None) -> str:
    return "–" if value is None else f"{value:.2f}"


@register.filter
def number(value: float) -> str:
    """Without decimals that say nothing: 18, 4.5."""
    return f"{value:g}" if abs(value) >= 1e-9 else "0"


@register.filter
def minus(value: Any) -> str:
    """A number as it is, with a true minus sign."""
    return true_minus(value)


@register.filter
def words(value: Any) -> str:
    """A stored word as people write it."""
    return str(value).replace("_", " ")


@register.filter
def percent(value: float | None) -> str:
    return "–" if value is None else f"{100 * value:.0f}%"


@register.filter
def beside(value: float) -> str:
    """Yards to one side; right is positive."""
    return f"{abs(value):.0f} {'right' if value > 0 else 'left'}" if abs(value) >= 0.5 else "none"


@register.filter
def counted(n: int, what: str) -> str:
    """``1 hole``, ``18 holes``."""
    return counted_words(n, what)


@register.filter
def cut_query(address: str) -> str:
    """An address without what it asks for."""
    return address.partition("?")[0]
