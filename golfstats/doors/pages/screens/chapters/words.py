"""Words and orders that chapters share."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Part
from golfstats.doors.pages.screens.chapters.base import Trust
from players.figures.answers.summary import GainedByPart
from players.golf.answers import Benchmark, NamedFigure, number_words

PARTS = ("In all", *(part.word.replace("_", " ").capitalize() for part in Part))
PART_KINDS = ("bar", *(part.word for part in Part))


def in_parts(gains: GainedByPart) -> list[NamedFigure]:
    """In all, then by part."""
    return [gains.total, gains.tee, gains.approach, gains.short_game, gains.putting]


def trust_in(benchmark: Benchmark) -> Trust:
    """Who the golfer compared with is, and how far to trust them."""
    return Trust((f"{benchmark.name}: {benchmark.description}", benchmark.provenance, benchmark.caution))


def strokes_words(value: float) -> str:
    return number_words(value, Unit.STROKES, signed=True)


def signed_ticks(value: float) -> str:
    """A place on an axis of strokes gained: ``+5``, ``−0.5``."""
    return f"{value:+g}".replace("-", "−") if value else "0"


def joined(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def day_words(day: date) -> str:
    return f"{day.day} {day:%b %Y}"
