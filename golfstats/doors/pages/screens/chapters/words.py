"""Words and orders that chapters share."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.screens.chapters.base import Trust
from players.golf.answers import Benchmark

LITTLE = 0.25
"""Strokes a round that are hardly worth a season's practice."""
PRIORITY_KEY = noop(
    "All parts are judged together and as on undisturbed greens, so one may come out otherwise here than under "
    "“Parts”. “Likely” is how likely it is that anything is lost there at all."
)
PRIORITY_TRUST = noop(
    "Parts that the rounds cannot tell apart share a place. They are ranked by the strokes that are three in four "
    "certain, all judged together, so that a lucky group does not come first."
)


def trust_in(benchmark: Benchmark) -> Trust:
    """Who the golfer compared with is, and how far to trust them."""
    return Trust((f"{benchmark.name}: {benchmark.description}", benchmark.provenance, benchmark.caution))


def joined(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return (
        words[0]
        if len(words) == 1
        else gettext("{listed} and {last}").format(listed=", ".join(words[:-1]), last=words[-1])
        if words
        else ""
    )
