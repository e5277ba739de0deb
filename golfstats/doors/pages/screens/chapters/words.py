"""Words and orders that chapters share."""

from __future__ import annotations

from collections.abc import Sequence

from golfstats.doors.pages.screens.chapters.base import Trust
from golfstats.ground.words import true_minus
from players.figures.answers.summary import GainedByPart
from players.golf.answers import Benchmark, NamedFigure

PARTS = ("In all", "Tee", "Approach", "Short game", "Putting")
PART_KINDS = ("bar", "tee", "approach", "short_game", "putting")


def in_parts(gains: GainedByPart) -> list[NamedFigure]:
    """In all, then by part."""
    return [gains.total, gains.tee, gains.approach, gains.short_game, gains.putting]


def trust_in(benchmark: Benchmark) -> Trust:
    """Who the golfer compared with is, and how far to trust them."""
    return Trust((f"{benchmark.name}: {benchmark.description}", benchmark.provenance, benchmark.caution))


def signed_ticks(value: float) -> str:
    """A place on an axis of strokes gained: ``+5``, ``−0.5``."""
    return true_minus(f"{value:+g}") if value else "0"


def joined(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
