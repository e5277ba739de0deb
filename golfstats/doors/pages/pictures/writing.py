"""How the numbers of an axis are written."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext

from golfstats.ground.words import index_words, percent_words, true_minus, with_marks
from players.pictures.shapes import Written


def signed_ticks(value: float) -> str:
    """A place on an axis of strokes gained: ``+5``, ``−0.5``."""
    return with_marks(true_minus(f"{value:+g}")) if value else "0"


def writer(written: Written, unit: str = "") -> Callable[[float], str]:
    match written:
        case Written.GAINED:
            return signed_ticks
        case Written.SHARE:
            return percent_words
        case Written.INDEX:
            return index_words
        case Written.WHOLE:
            return lambda value: f"{value:.0f} {unit}".rstrip()
        case Written.PLAIN:
            return lambda value: with_marks(true_minus(f"{value:g} {gettext(unit)}")).rstrip()
