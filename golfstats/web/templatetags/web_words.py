"""How pages write numbers."""

from __future__ import annotations

from typing import Any

from django import template

from golfstats.calc.coaching.words import percent as chance_words
from golfstats.web.pages.assets import library_version
from golfstats.web.shown import gain as gain_words

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
def words(value: Any) -> str:
    """A stored word as people write it."""
    return str(value).replace("_", " ")


@register.filter
def percent(value: float | None) -> str:
    return "–" if value is None else f"{100 * value:.0f}%"


@register.filter
def chance(value: float) -> str:
    """Never 0% or 100%."""
    return chance_words(value)


@register.simple_tag
def chart_version() -> str:
    return library_version()
